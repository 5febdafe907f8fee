"""The small map round a paint: how light (a ladder) and which colour (a cross), as two questions apart.

Swatches are exact in sRGB, touch each other and carry no text; they lie on the neutral grey, of two, that none of them
melts into. A place that the deck leaves empty is drawn empty.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from matcher.description.neighbour_map import PLACES, Place
from matcher.report.ground import farthest_grey
from matcher.report.sentences import MAP_EMPTY, MAP_PLACES, MAP_SAID
from matcher.report.sheet import SOFT, Box, Line, Sheet

# Units; chosen by looking, at the width that a phone and a third of a page have.
_SIDE, _MARGIN, _GAP, _TEXT = 76, 20, 10, 14
_LADDER_WORDS = 102  # as wide as a name of twelve letters
_BESIDE_CROSS = 30  # more room for words on the right
_WIDTH = 2 * _MARGIN + 4 * _SIDE + _GAP + _LADDER_WORDS + _BESIDE_CROSS
_HEIGHT = 2 * _MARGIN + 3 * _SIDE
_CROSS_LEFT = _MARGIN + _SIDE + _GAP + _LADDER_WORDS
_LONGEST_NAME = 13  # letters


@dataclass(frozen=True, slots=True)
class MapSwatch:
    """A paint on the map: what it is called, and its sRGB in hex."""

    name: str
    hex: str


def map_sheet(it: MapSwatch, places: Mapping[Place, MapSwatch | None]) -> Sheet:
    """Return the drawing of a paint and its neighbours; a place that is missing or None stays empty."""
    top, step = _MARGIN, _SIDE
    at: dict[Place, tuple[int, int]] = {
        "lighter": (_MARGIN, top),
        "darker": (_MARGIN, top + 2 * step),
        "greener": (_CROSS_LEFT + step, top),
        "cooler": (_CROSS_LEFT, top + step),
        "warmer": (_CROSS_LEFT + 2 * step, top + step),
        "pinker": (_CROSS_LEFT + step, top + 2 * step),
    }
    said = {place: _said(place, places.get(place)) for place in PLACES}
    own = [Box(x, top + step, _SIDE, _SIDE, it.hex, it.name) for x in (_MARGIN, _CROSS_LEFT + step)]
    others = [_square(x, y, said[place], places.get(place)) for place, (x, y) in at.items()]
    beside, base = _MARGIN + _SIDE + _GAP, step // 2 + _TEXT // 3
    right, below = _CROSS_LEFT + 2 * step + _GAP, top + 2 * step + _TEXT + _GAP // 2
    words = (
        Line(beside, top + base, said["lighter"], _TEXT),
        Line(beside, top + step + base, _short(it.name), _TEXT),
        Line(beside, top + 2 * step + base, said["darker"], _TEXT),
        Line(right, top + base, said["greener"], _TEXT),
        Line(right, below, said["warmer"], _TEXT),
        Line(_CROSS_LEFT + step - _GAP, below, said["cooler"], _TEXT, end=True),
        Line(right, top + 3 * step - _GAP // 2, said["pinker"], _TEXT),
    )
    told = "; ".join(_named(said[place], places.get(place)) for place in PLACES)
    swatches = [it, *(swatch for swatch in places.values() if swatch)]
    ground = Box(0, 0, _WIDTH, _HEIGHT, farthest_grey(swatch.hex for swatch in swatches))
    alt = MAP_SAID.format(name=it.name, places=told)
    return Sheet(_WIDTH, _HEIGHT, (ground, *own, *others), words, alt)


def _square(x: int, y: int, said: str, swatch: MapSwatch | None) -> Box:
    if swatch is None:
        return Box(x, y, _SIDE, _SIDE, SOFT, empty=True)
    return Box(x, y, _SIDE, _SIDE, swatch.hex, _named(said, swatch))


def _said(place: Place, swatch: MapSwatch | None) -> str:
    return MAP_PLACES[place] if swatch else MAP_EMPTY.format(place=MAP_PLACES[place])


def _named(said: str, swatch: MapSwatch | None) -> str:
    return f"{said}: {swatch.name}" if swatch else said


def _short(name: str) -> str:
    return name if len(name) <= _LONGEST_NAME else f"{name[: _LONGEST_NAME - 1].rstrip()}…"
