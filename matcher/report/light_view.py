"""A room's light as a page or the report shows it: columns of hours and lamps, a row of colours for each paint."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from matcher.report.light_entry import drawn_hexes
from matcher.report.light_words import (
    assumptions,
    clock,
    colour_sentences,
    kind_words,
    lamp_words,
    room_sentences,
)
from matcher.report.numbers import filled
from matcher.report.sentences import LIGHT_BASIS, LIGHT_COLUMN, LIGHT_DRAWN, LIGHT_SKY, LIGHT_SUMMARY, LIGHT_WINDOW
from matcher.report.trade_words import sentence_case

Json = dict[str, Any]
# Hours that are drawn: when a room is lived in (assumption, as matcher/light/day.py counts them).
_FIRST, _LAST = 6.0, 22.0


def light_view(light: Mapping[str, Any], titles: Mapping[str, str]) -> Json:
    """Return what is drawn and said of the JSON of :func:`matcher.report.light_entry.light_entry`.

    ``columns``: each hour and lamp, with ``label``, ``words``, ``numbers`` and whether it is a ``lamp``. ``paints`` and
    ``surfaces``: ``title`` (a paint's role by code from ``titles``), ``name``, ``code``, ``hexes`` for the columns,
    ``says`` and ``line``. ``white``: the white card's hexes. Sentences: ``summary``, ``room``, ``assumed``, ``basis``,
    ``drawn``; ``unsaid``: something is assumed that the brief could say.
    """
    hours = [hour for hour in light["hours"] if _FIRST <= hour["hour"] <= _LAST]
    moments = [*hours, *light["lamps"]]
    levels = [moment["level"] for moment in moments]
    shown = {hour["hour"] for hour in hours}

    def hexes(looks: Mapping[str, Any]) -> list[str]:
        by_day = [seen["lab"] for seen in looks["hours"] if seen["hour"] in shown]
        return drawn_hexes([*by_day, *(seen["lab"] for seen in looks["lamps"])], levels)

    rows = [
        {
            "title": titles.get(colour.get("code", ""), ""),
            "name": sentence_case(colour.get("name") or colour.get("code") or colour["surface"]),
            "code": colour.get("code", ""),
            "hexes": hexes(colour),
            "says": colour_sentences(light, colour),
            "line": " ".join(colour_sentences(light, colour)),
            "keeps": colour["keeps"],
            "moments": _numbers(moments, colour, shown),
        }
        for colour in light["colours"]
    ]
    return {
        "columns": [_column(light, moment) for moment in moments],
        "paints": [row for row in rows if row["code"]],
        "surfaces": [row for row in rows if not row["code"]],
        "white": hexes(light["white_card"]),
        "summary": _summary(light),
        "room": room_sentences(light),
        "assumed": assumptions(light),
        "unsaid": any(key != "date" for key in light["assumed"]),
        "basis": LIGHT_BASIS,
        "drawn": LIGHT_DRAWN,
    }


def _column(light: Mapping[str, Any], moment: Mapping[str, Any]) -> Json:
    low, high = moment["light_k_range"]
    numbers = filled(LIGHT_COLUMN, {**moment, "low": low, "high": high})
    if "hour" not in moment:
        return {"label": lamp_words(moment), "words": lamp_words(moment), "numbers": numbers, "lamp": True}
    return {
        "label": clock(moment["hour"]),
        "words": f"{clock(moment['hour'])}, {kind_words(moment['kind'])}",
        "numbers": f"{clock(moment['hour'])}, {kind_words(moment['kind'])}: {numbers}",
        "lamp": False,
    }


def _numbers(moments: Sequence[Mapping[str, Any]], colour: Mapping[str, Any], shown: set[float]) -> list[str]:
    """Return CIELAB as seen at every moment, in figures."""
    seen = [*(each for each in colour["hours"] if each["hour"] in shown), *colour["lamps"]]
    return [", ".join(f"{part:.1f}".replace("-", "\u2212") for part in each["lab"]) for each in seen]


def _summary(light: Mapping[str, Any]) -> str:
    window = LIGHT_WINDOW[light["facing"] or ""]
    return sentence_case(filled(LIGHT_SUMMARY, {**light, "window": window, "sky": LIGHT_SKY[light["sky"]]}))
