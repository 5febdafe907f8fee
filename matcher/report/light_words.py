"""What a room's light means in words, from the numbers of :mod:`matcher.report.light_entry`."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from matcher.description.lean_word import family_word
from matcher.harmony.undertone import undertones
from matcher.light.companion import DIM_BELOW
from matcher.report.numbers import filled
from matcher.report.sentences import (
    LIGHT_ADVICE,
    LIGHT_ASSUMED,
    LIGHT_BETWEEN,
    LIGHT_DIM,
    LIGHT_FLIP,
    LIGHT_KEEPS,
    LIGHT_KINDS,
    LIGHT_LAMPS,
    LIGHT_PARTS,
    LIGHT_SEEN,
)
from matcher.report.trade_words import listed, sentence_case, undertone_phrase

Json = Mapping[str, Any]

# Losses of colour smaller than this are no news (assumption).
_LEAST_TAKEN = 0.05


def clock(hour: float) -> str:
    """Return ``9:00`` of an hour of local solar time."""
    return f"{int(hour)}:{round(60 * (hour % 1)):02d}"


def kind_words(kind: str) -> str:
    """Return a kind of light in words."""
    return LIGHT_KINDS[kind]


def lamp_words(lamp: Json) -> str:
    """Return a lamp in words."""
    return filled(LIGHT_LAMPS[lamp["kind"]], {"kelvin": lamp["sold_as_k"]})


def called(colour: Json) -> str:
    """Return what a colour is called: the surface, or the paint by its name."""
    return f"the {colour['surface']}" if "surface" in colour else colour["name"] or colour["code"]


def assumptions(light: Json) -> list[str]:
    """Return what was assumed, a sentence each."""
    return [filled(LIGHT_ASSUMED[key], light) for key in light["assumed"]]


def colour_sentences(light: Json, colour: Json) -> list[str]:
    """Return how well a colour keeps its character, when it does so least, and when its undertone changes family."""
    template = next(words for least, words in LIGHT_KEEPS if colour["keeps"] >= least)
    said = [filled(template, {"when": worst_moment(light, colour)})]
    said += _to_the_eye(light, colour)
    if colour["flips"] and colour["keeps"] >= LIGHT_KEEPS[0][0]:
        names = dict.fromkeys(family_word(flip[end]) for flip in colour["flips"] for end in ("from", "to"))
        return [f"{sentence_case(text)}." for text in (*said, filled(LIGHT_BETWEEN, {"names": listed(list(names))}))]
    for flip in colour["flips"]:
        words = {"before": family_word(flip["from"]), "after": family_word(flip["to"])}
        said.append(filled(LIGHT_FLIP, {**words, "when": moment_words(light, flip["hour"])}))
    return [f"{sentence_case(text)}." for text in said]


def _to_the_eye(light: Json, colour: Json) -> list[str]:
    """Return what a colour looks like by day and by the room's lamps, the light's own tint and all, if that differs."""
    at = brightest(light)["hour"]
    noon = next(seen["lab"] for seen in colour["hours"] if seen["hour"] == at)
    by_day, by_lamps = (undertone_phrase(lean) for lean in undertones([noon, colour["lamps"][0]["lab"]]))
    return [] if by_day == by_lamps else [filled(LIGHT_SEEN, {"by_day": by_day, "by_lamps": by_lamps})]


def worst_moment(light: Json, colour: Json) -> str:
    """Return when a colour is least itself, in words."""
    hour = min(colour["hours"], key=lambda seen: seen["keeps"])["hour"]
    return moment_words(light, hour)


def moment_words(light: Json, hour: float) -> str:
    """Return an hour as people would say it: by the lamps, at dusk, or about some time."""
    kind = next(each["kind"] for each in light["hours"] if each["hour"] == hour)
    return {"lamps": "by the lamps", "dusk": "at dusk"}.get(kind, f"about {clock(hour)}")


def room_sentences(light: Json) -> list[str]:
    """Return what is to be said of the room as a whole: pairs that part, how dim it is, what to take instead."""
    return [f"{sentence_case(text)}." for text in _of_the_room(light)]


def _of_the_room(light: Json) -> Iterator[str]:
    names = {colour.get("code") or colour["surface"]: called(colour) for colour in light["colours"]}
    kinds = {hour["kind"] for hour in light["hours"]}
    if kinds == {"lamps"}:
        yield LIGHT_DIM["polar night"]
    elif "lamps" not in kinds:
        yield LIGHT_DIM["polar day"]
    for pair in light["matches_that_part"]:
        fields = {"a": names[pair["a"]], "b": names[pair["b"]], "when": moment_words(light, pair["hour"])}
        yield filled(LIGHT_PARTS, fields)
    taken = colour_taken(light)
    if kinds != {"lamps"} and brightest(light)["level"] < DIM_BELOW and taken >= _LEAST_TAKEN:
        yield filled(LIGHT_DIM["dim"], {"taken": taken})
    for advice in light["advice"]:
        points = f"{advice['lrv_difference']:.0f}"
        companion = f"{advice['name']} ({advice['take']})" if advice["name"] else advice["take"]
        fields = {"colour": names[advice["code"]], "companion": companion, "points": points}
        yield filled(LIGHT_ADVICE[advice["kind"]], fields)


def brightest(light: Json) -> Json:
    """Return the hour with most daylight; noon where there is none."""
    found: Json = max(light["hours"], key=lambda hour: (hour["kind"] != "lamps", hour["lux"], -abs(hour["hour"] - 12)))
    return found


def colour_taken(light: Json) -> float:
    """Return how much of their colour the room takes from those that have any, 0..1, over its lit hours of daylight."""
    by_day = {hour["hour"] for hour in light["hours"] if hour["kind"] in ("sky", "sun and sky")}
    left = [
        seen["colour_left"]
        for colour in light["colours"]
        for seen in colour["hours"]
        if seen["hour"] in by_day and seen["undertone"]["family"] != "neutral"
    ]
    return max(1 - sum(left) / len(left), 0.0) if left else 0.0
