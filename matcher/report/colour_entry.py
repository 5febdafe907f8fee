"""One described colour as a JSON object, and two compared: shared by the result and the paint and deck commands."""

from __future__ import annotations

from typing import Any

from matcher.description.colour import ColourDescription
from matcher.description.comparison import Comparison
from matcher.harmony.undertone import Undertone
from matcher.report.numbers import rounded, rounded_lab


def undertone_entry(undertone: Undertone) -> dict[str, Any]:
    """Return the object that stands under ``undertone``."""
    return {
        "family": undertone.family,
        "strength": undertone.strength,
        "hue_deg": rounded(undertone.hue_deg, 1),
        "chroma": rounded(undertone.chroma, 2),
        "visibility": rounded(undertone.visibility, 2),
    }


def colour_entry(colour: ColourDescription, *, code: str, name: str) -> dict[str, Any]:
    """Return the object of ``deck describe`` and ``paint describe``; ``lights`` only where lights were asked for."""
    entry: dict[str, Any] = {
        "code": code,
        "name": name,
        "lab": rounded_lab(colour.lab),
        "lrv": rounded(colour.lrv, 1),
        "hex": colour.hex,
        "designation": colour.designation,
        "undertone": undertone_entry(colour.undertone),
        "warmth": rounded(colour.warmth, 3),
    }
    if colour.lights:
        entry["lights"] = {
            shift.light: {"lab": rounded_lab(shift.lab), "undertone": undertone_entry(shift.undertone)}
            for shift in colour.lights
        }
    return entry


def comparison_entry(comparison: Comparison, *, a: str, b: str) -> dict[str, Any]:
    """Return one entry of ``pairs``: differences are b minus a, null where that difference cannot be seen."""
    codes = {"a": a, "b": b, None: None}
    return {
        "a": a,
        "b": b,
        "de00": rounded(comparison.de00, 2),
        "lrv_difference": rounded(comparison.lrv_difference, 1),
        "lighter": codes[comparison.lighter],
        "warmer": codes[comparison.warmer],
        "greener": codes[comparison.greener],
        "visible": comparison.visible,
    }
