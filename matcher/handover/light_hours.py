"""Which lights of a day a client is shown, and what one sees of a paint in each."""

from __future__ import annotations

from dataclasses import dataclass

from matcher.colorimetry.difference import delta_e_2000
from matcher.handover import words
from matcher.handover.contents import Json
from matcher.report.light_entry import drawn_hexes
from matcher.report.trade_words import lowered, sentence_case

# Hours of the day that are shown where the sun is up; assumptions: breakfast, noon, school's out, supper.
_SHOWN = (9.0, 12.0, 15.0, 18.0)
# dE00 under which a colour looks as on the card, and from which the change is plain (as in words.COLOUR_STEPS).
_SAME, _PLAIN = 2.0, 5.0
_ALIKE = 1.0  # dE00: a difference of about 1 can just be seen
_OTHER_LEVEL = 0.2  # of the light there is; assumption: a fifth more or less is noticed
_WARMER_BY = 1.0  # b* and half of a*; below, a change is neither warmer nor cooler. Assumption
_QUIET = 0.85  # of ``colour_left``: below, colours go quiet in the dusk; assumption
# Correlated colour temperature up to which lamps are called warm and neutral white (EN 12464-1, from memory).
_WARM_K, _NEUTRAL_K = 3300, 5300


@dataclass(frozen=True, slots=True)
class LightHour:
    """One light: ``title`` (9 am, Lamps), its ``kind`` in words, the sRGB of the colours as seen, in the order of the
    entry, and what one sees of the first.
    """

    title: str
    kind: str
    hexes: tuple[str, ...]
    text: str


def light_hours(light: Json, colours: list[Json], base: tuple[float, float, float], lean: str) -> list[LightHour]:
    """Return the lights of a day and the room's lamps for some ``colours`` of the JSON of ``givens light``.

    ``base`` is CIELAB D65/2 of the first, ``lean`` the word for its undertone, "" for a neutral.
    """
    found: list[LightHour] = []
    before: int | None = None
    for place in _chosen(light):
        found.append(_by_day(light, colours, place, before, base, lean))
        before = place
    return [*found, _by_lamps(light, colours, base, lean)]


def _chosen(light: Json) -> list[int]:
    """Return the places of the hours shown: those of _SHOWN with daylight, one of them moved to where the sun is on
    the window, if it ever is and none of them has it.
    """
    hours = light["hours"]
    chosen = [place for place, hour in enumerate(hours) if hour["hour"] in _SHOWN and hour["kind"] != "lamps"]
    sunny = [place for place, hour in enumerate(hours) if hour["kind"] == "sun and sky"]
    if chosen and sunny and not any(place in sunny for place in chosen):
        brightest = max(sunny, key=lambda place: hours[place]["lux"])
        nearest = min(chosen, key=lambda place: abs(place - brightest))
        chosen[chosen.index(nearest)] = brightest
    return sorted(chosen)


def _by_day(
    light: Json, colours: list[Json], place: int, before: int | None, base: tuple[float, float, float], lean: str
) -> LightHour:
    hour = light["hours"][place]
    seen = [colour["hours"][place] for colour in colours]
    sky = "overcast sky" if light["sky"] == "overcast" and hour["kind"] == "sky" else hour["kind"]
    alike = "" if before is None else _as_before(light, colours[0], place, before)
    text = alike or _moved(seen[0]["lab"], seen[0]["keeps"], base, lean)
    quiet = [words.GOES_QUIET] if seen[0]["colour_left"] < _QUIET else []
    return LightHour(
        title=hour_word(hour["hour"]),
        kind=words.LIGHT_KINDS[sky],
        hexes=_drawn(seen, hour["level"]),
        text=" ".join([text, *quiet]),
    )


def _as_before(light: Json, colour: Json, place: int, before: int) -> str:
    """Return that a colour looks as at the hour shown before, "" where it does not."""
    now, then = colour["hours"][place], colour["hours"][before]
    if float(delta_e_2000(now["lab"], then["lab"])) >= _ALIKE:
        return ""
    level, was = light["hours"][place]["level"], light["hours"][before]["level"]
    more = level > was * (1 + _OTHER_LEVEL)
    less = level < was * (1 - _OTHER_LEVEL)
    word = words.MORE_LIGHT if more else words.LESS_LIGHT if less else words.SAME_LIGHT
    title = hour_word(light["hours"][before]["hour"])
    return sentence_case(words.AS_BEFORE.format(before=lowered(title), light=word)) + "."


def _by_lamps(light: Json, colours: list[Json], base: tuple[float, float, float], lean: str) -> LightHour:
    lamp = light["lamps"][0]
    seen = [colour["lamps"][0] for colour in colours]
    # What a colour keeps is told by the hour; the room's own lamps are those of its evening.
    evening = [place for place, hour in enumerate(light["hours"]) if hour["kind"] == "lamps"]
    keeps = colours[0]["hours"][evening[-1]]["keeps"] if evening else 1.0
    kelvin = lamp["sold_as_k"]
    kind = "warm" if kelvin <= _WARM_K else "neutral" if kelvin <= _NEUTRAL_K else "cool"
    text = _moved(seen[0]["lab"], keeps, base, lean)
    return LightHour(words.LAMPS_TITLE, words.LAMP_KINDS[kind], _drawn(seen, lamp["level"]), text)


def _drawn(seen: list[Json], level: float) -> tuple[str, ...]:
    return tuple(drawn_hexes([each["lab"] for each in seen], [level] * len(seen)))


def hour_word(hour: float) -> str:
    """Return what an hour is called."""
    return words.HOUR_NAMES.get(hour) or clock(hour)


def clock(hour: float) -> str:
    """Return an hour on a clock.

    >>> clock(7.0), clock(17.0)
    ('7 am', '5 pm')
    """
    return words.CLOCK.format(hour=f"{(hour - 1) % 12 + 1:.0f}", half="am" if hour < 12 else "pm")


def _moved(lab: list[float], keeps: float, base: tuple[float, float, float], lean: str) -> str:
    """Return which way a colour moves and what is left of its lean."""
    de00 = float(delta_e_2000(base, lab))
    warmer = (lab[2] - base[2]) + 0.5 * (lab[1] - base[1])
    if de00 < _SAME or abs(warmer) < _WARMER_BY:
        parts = [words.AS_ON_THE_CARD]
    else:
        size = words.A_TOUCH if de00 < _PLAIN else words.CLEARLY
        parts = [f"{size} {words.WARMER if warmer > 0 else words.COOLER}"]
    kept = next(text for least, text in words.KEPT if keeps >= least)
    if lean or keeps < words.KEPT[0][0]:
        parts.append(kept.format(lean=lean))
    return sentence_case("; ".join(parts)) + "."
