"""Several colours through a room's day: hour by hour and by lamp, what they keep, where they flip, which part."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from matcher.colorimetry.spaces import Floats
from matcher.harmony.undertone import Undertone, undertones
from matcher.light.day import AWAKE, HOURS, InLight, RoomDay
from matcher.light.flips import Flip, flips
from matcher.light.keeps import keeps, kept
from matcher.light.light import Light, average_daylight
from matcher.light.muted import colour_left
from matcher.light.parting import Parting, partings
from matcher.light.seen import seen

# Colours looked at together: in a dozen lights they take some megabytes, and a deck of a million does not take more.
_AT_ONCE = 4096
_LIVED_IN: Floats = np.array([float(AWAKE[0] <= hour <= AWAKE[1]) for hour in HOURS])


@dataclass(frozen=True, slots=True, eq=False)
class Looks:
    """N colours in L lights: ``lab`` (N, L, 3) as seen, adapted in part; ``leans`` the undertone of each in each light
    beside a white card there (fully adapted); ``left`` (N, L) what is left of the colourfulness of a good light.
    """

    lab: Floats
    leans: tuple[tuple[Undertone, ...], ...]
    left: Floats


@dataclass(frozen=True, slots=True, eq=False)
class DayLook:
    """N colours through a day: ``hours`` and ``lamps`` in the order of the day's own; ``keeps`` (N,) 0..1; ``kept``
    (N, 24), the same of each hour; ``flips`` of each; ``partings`` with the number of the hour as light.
    """

    hours: Looks
    lamps: Looks
    kept: Floats
    keeps: Floats
    flips: tuple[tuple[Flip, ...], ...]
    partings: tuple[Parting, ...]


def look(day: RoomDay, lab: Floats, reflectance: Floats, bounce: Floats | None = None) -> DayLook:
    """Return how colours ``lab`` (N, 3) of known or recovered ``reflectance`` (N, 36) look through a day.

    ``bounce`` is as in :func:`matcher.light.seen.seen`. A colour that no surface has, and that has the curve of a paler
    one, is moved as that one is.
    """
    bare = seen(reflectance, [average_daylight()], 1.0)
    beyond = lab[:, None] - bare
    inside = [hour.inside for hour in day.hours]
    full = seen(reflectance, [each.light for each in inside], 1.0, bounce) + beyond
    leans = _leans(full)
    by_day = full[:, day.hours.index(day.brightest)]
    parts = kept(_in_daylight(reflectance, bounce) + beyond[:, 0], full)
    lamps = [each.inside for each in day.lamps]
    return DayLook(
        hours=_looks(inside, lab, reflectance, bounce, leans, beyond),
        lamps=_looks(
            lamps, lab, reflectance, bounce,
            _leans(seen(reflectance, [each.light for each in lamps], 1.0, bounce) + beyond), beyond,
        ),
        kept=parts,
        keeps=keeps(parts, _LIVED_IN),
        flips=tuple(flips(HOURS, labs, words) for labs, words in zip(full, leans, strict=True)),
        partings=partings(by_day, full),
    )  # fmt: skip


def kept_through(day: RoomDay, reflectance: Floats, bounce: Floats | None = None, *, by_lamps: bool = True) -> Floats:
    """Return (N,), 0..1, how well colours keep their character through a day: ``keeps`` of :func:`look`, alone.

    Without ``by_lamps`` the hours of lamps are left out, unless there is no other hour.
    """
    by_lamps = by_lamps or all(hour.kind == "lamps" for hour in day.hours)
    # Hours of the same light, the lamps' above all, are looked at once.
    places: dict[int, int] = {}
    lights: list[Light] = []
    hours: list[float] = []
    for lasting, hour in zip(_LIVED_IN.tolist(), day.hours, strict=True):
        if lasting <= 0 or (hour.kind == "lamps" and not by_lamps):
            continue
        key = id(hour.inside.light.weights)
        if key not in places:
            places[key] = len(lights)
            lights.append(hour.inside.light)
            hours.append(0.0)
        hours[places[key]] += lasting
    found = np.empty(len(reflectance))
    for start in range(0, len(reflectance), _AT_ONCE):
        some = reflectance[start : start + _AT_ONCE]
        falling = bounce if bounce is None or bounce.ndim == 1 else bounce[start : start + _AT_ONCE]
        parts = kept(_in_daylight(some, falling), seen(some, lights, 1.0, falling))
        found[start : start + _AT_ONCE] = keeps(parts, np.array(hours))
    return found


def white_card(day: RoomDay) -> tuple[Floats, Floats]:
    """Return CIELAB of a white card as seen, adapted in part, by hour (24, 3) and by lamp (lamps, 3)."""
    white = np.ones((1, 36))
    by_hour, by_lamp = ([each.inside for each in moments] for moments in (day.hours, day.lamps))
    return (
        seen(white, [each.light for each in by_hour], [each.adaptation for each in by_hour])[0],
        seen(white, [each.light for each in by_lamp], [each.adaptation for each in by_lamp])[0],
    )


def _in_daylight(reflectance: Floats, bounce: Floats | None) -> Floats:
    """Return the colours (N, 3) as they are called by, under D65, in this room where light bounces."""
    return seen(reflectance, [average_daylight()], 1.0, bounce)[:, 0]


def _leans(labs: Floats) -> tuple[tuple[Undertone, ...], ...]:
    return tuple(undertones(one) for one in labs)


def _looks(
    inside: list[InLight],
    lab: Floats,
    reflectance: Floats,
    bounce: Floats | None,
    leans: tuple[tuple[Undertone, ...], ...],
    beyond: Floats,
) -> Looks:
    return Looks(
        lab=seen(reflectance, [each.light for each in inside], [each.adaptation for each in inside], bounce) + beyond,
        leans=leans,
        left=np.stack([colour_left(lab, each.lux) for each in inside], axis=1),
    )
