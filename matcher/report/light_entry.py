"""A room's day and what colours look like in it, as the JSON of ``givens light``."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

import numpy as np

from matcher.colorimetry.spaces import Floats, lab_to_xyz, labs_to_hex, xyz_to_lab
from matcher.harmony.undertone import Undertone
from matcher.light.day import InLight, RoomDay
from matcher.light.look import DayLook, Looks, white_card
from matcher.report.colour_entry import undertone_entry
from matcher.report.numbers import rounded, rounded_lab

Json = dict[str, Any]

# A screen cannot show how dim dusk is beside noon, and what is drawn has to stay legible: a colour in no light is
# drawn with the first share of its light, in full light with the second, so that a white card tinted by the light is
# within what a screen can show, and between them by the cube root, as lightness goes (assumptions).
_DARKEST_DRAWN, _BRIGHTEST_DRAWN = 0.42, 0.9


def light_entry(
    day: RoomDay, keys: Sequence[Mapping[str, str]], found: DayLook, companions: Iterable[Json] = ()
) -> Json:
    """Return the JSON of ``givens light``; ``keys`` say of each colour whose it is: a surface's or a paint's.

    ``adaptation`` is the brightest hour's; every hour and lamp has its own.
    """
    white = white_card(day)
    ids = [key.get("code") or key["surface"] for key in keys]
    return {
        "latitude": day.latitude,
        "facing": day.facing,
        "date": day.day.isoformat(),
        "lamps_k": day.lamps_k,
        "sky": "overcast" if day.overcast else "clear",
        "assumed": list(day.assumed),
        "adaptation": _inside(day.brightest.inside)["adaptation"],
        "hours": [
            {
                "hour": hour.hour,
                "sun": {
                    "altitude_deg": rounded(hour.sun.altitude_deg, 2),
                    "azimuth_deg": rounded(hour.sun.azimuth_deg, 2) % 360,
                    "on_window": hour.on_window,
                },
                **_inside(hour.inside),
                "kind": hour.kind,
            }
            for hour in day.hours
        ],
        "lamps": [{"kind": lamp.kind, "sold_as_k": lamp.kelvin, **_inside(lamp.inside)} for lamp in day.lamps],
        "white_card": {
            "hours": [{"hour": h.hour, "lab": rounded_lab(lab)} for h, lab in zip(day.hours, white[0], strict=True)],
            "lamps": [
                {"kind": lamp.kind, "lab": rounded_lab(lab)} for lamp, lab in zip(day.lamps, white[1], strict=True)
            ],
        },
        "colours": [_colour(day, key, found, place) for place, key in enumerate(keys)],
        "matches_that_part": [
            {
                "a": ids[parting.a],
                "b": ids[parting.b],
                "hour": day.hours[parting.light].hour,
                "de00": rounded(parting.de00, 2),
                "by_day_de00": rounded(parting.by_day, 2),
            }
            for parting in found.partings
        ],
        "advice": list(companions),
    }


def _inside(inside: InLight) -> Json:
    light = inside.light
    return {
        "light_k": round(light.kelvin),
        "light_k_range": [round(light.low), round(light.high)],
        "level": rounded(inside.level, 3),
        "lux": rounded(inside.lux, 1),
        "adaptation": rounded(inside.adaptation, 3),
    }


def _colour(day: RoomDay, key: Mapping[str, str], found: DayLook, place: int) -> Json:
    return {
        **key,
        "hours": [
            {"hour": hour.hour, **_seen(found.hours, place, number), "keeps": rounded(found.kept[place, number], 3)}
            for number, hour in enumerate(day.hours)
        ],
        "lamps": [
            {"kind": lamp.kind, "sold_as_k": lamp.kelvin, **_seen(found.lamps, place, number)}
            for number, lamp in enumerate(day.lamps)
        ],
        "flips": [{"from": flip.before, "to": flip.after, "hour": flip.hour} for flip in found.flips[place]],
        "keeps": rounded(float(found.keeps[place]), 3),
    }


def _seen(looks: Looks, place: int, number: int) -> Json:
    lean: Undertone = looks.leans[place][number]
    return {
        "lab": rounded_lab(looks.lab[place, number]),
        "undertone": undertone_entry(lean),
        "colour_left": rounded(float(looks.left[place, number]), 3),
    }


def drawn_hexes(labs: Iterable[Sequence[float]], levels: Iterable[float]) -> list[str]:
    """Return what is drawn of colours as seen, each with the level of its light, 0..1, within what stays legible."""
    xyz = lab_to_xyz(np.array(list(labs), dtype=np.float64).reshape(-1, 3))
    brightness = np.cbrt(np.array(list(levels), dtype=np.float64))
    light: Floats = _DARKEST_DRAWN + (_BRIGHTEST_DRAWN - _DARKEST_DRAWN) * brightness
    return labs_to_hex(xyz_to_lab(xyz * light[:, None]))
