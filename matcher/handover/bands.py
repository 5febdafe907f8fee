"""Colours as bands that a template draws: a paint is one, a surface has one for each of its colours."""

from __future__ import annotations

from typing import Any

from matcher.handover.contents import Json
from matcher.handover.fill import fill

Band = list[dict[str, Any]]


def paint_band(hex_text: str) -> Band:
    """Return the band of one paint."""
    return [{"hex": hex_text, "share": 1}]


def surface_band(surface: Json) -> Band:
    """Return the bands of a surface of the result, widths by share."""
    return [{"hex": fill(colour["lab"]), "share": colour["share"]} for colour in surface["colours"]]


def hexes(*bands: Band) -> list[str]:
    """Return every colour of some bands."""
    return [colour["hex"] for band in bands for colour in band]
