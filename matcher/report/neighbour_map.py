"""The small map round a paint: how light (a ladder) and which colour (a cross), as two questions apart.

Swatches are exact in sRGB, touch each other and carry no text; they lie on the neutral grey, of two, that none of them
melts into. A place that the deck leaves empty is drawn empty. The layout is data, which one function writes as SVG and
one as PNG.
"""

from __future__ import annotations

import io
from collections.abc import Mapping
from dataclasses import dataclass
from html import escape

from matcher.description.neighbour_map import PLACES, Place
from matcher.report.ground import farthest_grey
from matcher.report.plots import Drawing
from matcher.report.sentences import MAP_EMPTY, MAP_PLACES, MAP_SAID

# Pixels; chosen by looking, at the width that a phone and a third of a page have.
_SIDE, _MARGIN, _GAP, _TEXT = 76, 20, 10, 14
_LADDER_WORDS = 102  # as wide as a name of twelve letters
_BESIDE_CROSS = 30  # more room for words on the right
_WIDTH = 2 * _MARGIN + 4 * _SIDE + _GAP + _LADDER_WORDS + _BESIDE_CROSS
_HEIGHT = 2 * _MARGIN + 3 * _SIDE
_CROSS_LEFT = _MARGIN + _SIDE + _GAP + _LADDER_WORDS
_LONGEST_NAME = 13  # letters
_INK, _EDGE = "#1b1b1b", "#555555"  # of words and of an empty place
_PNG_SCALE = 2


@dataclass(frozen=True, slots=True)
class MapSwatch:
    """A paint on the map: what it is called, and its sRGB in hex."""

    name: str
    hex: str


@dataclass(frozen=True, slots=True)
class _Square:
    """A swatch with its upper left corner; ``fill`` None is an empty place."""

    x: int
    y: int
    fill: str | None
    title: str


@dataclass(frozen=True, slots=True)
class _Word:
    """A word with the left end, or the right end, of its base line."""

    text: str
    x: int
    y: int
    ends_there: bool = False


@dataclass(frozen=True, slots=True)
class MapLayout:
    """The map as data: ``squares`` and ``words`` on a ``ground``."""

    ground: str
    squares: tuple[_Square, ...]
    words: tuple[_Word, ...]
    alt: str


def map_layout(it: MapSwatch, places: Mapping[Place, MapSwatch | None]) -> MapLayout:
    """Lay out a paint and its neighbours; a place that is missing or None stays empty."""
    top, step = _MARGIN, _SIDE
    at: dict[Place, tuple[int, int]] = {
        "lighter": (_MARGIN, top),
        "darker": (_MARGIN, top + 2 * step),
        "greener": (_CROSS_LEFT + step, top),
        "cooler": (_CROSS_LEFT, top + step),
        "warmer": (_CROSS_LEFT + 2 * step, top + step),
        "pinker": (_CROSS_LEFT + step, top + 2 * step),
    }
    squares = [_Square(x, top + step, it.hex, it.name) for x in (_MARGIN, _CROSS_LEFT + step)]
    said = {place: _said(place, places.get(place)) for place in PLACES}
    for place, (x, y) in at.items():
        swatch = places.get(place)
        squares.append(_Square(x, y, swatch.hex if swatch else None, f"{said[place]}: {swatch.name}" if swatch else ""))
    beside, base = _MARGIN + _SIDE + _GAP, step // 2 + _TEXT // 3
    right, below = _CROSS_LEFT + 2 * step + _GAP, top + 2 * step + _TEXT + _GAP // 2
    words = (
        _Word(said["lighter"], beside, top + base),
        _Word(_short(it.name), beside, top + step + base),
        _Word(said["darker"], beside, top + 2 * step + base),
        _Word(said["greener"], right, top + base),
        _Word(said["warmer"], right, below),
        _Word(said["cooler"], _CROSS_LEFT + step - _GAP, below, ends_there=True),
        _Word(said["pinker"], right, top + 3 * step - _GAP // 2),
    )
    shown = [(said[place], places.get(place)) for place in PLACES]
    told = "; ".join(f"{word}: {swatch.name}" if swatch else word for word, swatch in shown)
    fills = [square.fill for square in squares if square.fill]
    return MapLayout(farthest_grey(fills), tuple(squares), words, MAP_SAID.format(name=it.name, places=told))


def map_svg(layout: MapLayout) -> Drawing:
    """Return the map as an SVG file, with the text for who cannot see it."""
    parts = [f'<rect width="{_WIDTH}" height="{_HEIGHT}" fill="{layout.ground}"/>']
    for square in layout.squares:
        place = f'x="{square.x}" y="{square.y}" width="{_SIDE}" height="{_SIDE}"'
        if square.fill:
            title = f"<title>{escape(square.title)}</title>"
            parts.append(f'<rect {place} fill="{square.fill}" shape-rendering="crispEdges">{title}</rect>')
        else:
            parts.append(f'<rect {_inset(square)} fill="none" stroke="{_EDGE}" stroke-dasharray="4 4"/>')
    parts += [
        f'<text x="{word.x}" y="{word.y}" font-size="{_TEXT}" fill="{_INK}" font-family="system-ui, sans-serif"'
        f"{' text-anchor=' + chr(34) + 'end' + chr(34) if word.ends_there else ''}>{escape(word.text)}</text>"
        for word in layout.words
    ]
    size = f'viewBox="0 0 {_WIDTH} {_HEIGHT}" width="{_WIDTH}" height="{_HEIGHT}"'
    label = f'role="img" aria-label="{escape(layout.alt)}"'
    return Drawing(f'<svg xmlns="http://www.w3.org/2000/svg" {size} {label}>{"".join(parts)}</svg>', layout.alt)


def map_png(layout: MapLayout) -> bytes:
    """Return the map as a PNG file of twice the size; the pixels of a swatch are its colour."""
    from PIL import Image, ImageDraw, ImageFont

    scale = _PNG_SCALE
    image = Image.new("RGB", (scale * _WIDTH, scale * _HEIGHT), layout.ground)
    draw = ImageDraw.Draw(image)
    for square in layout.squares:
        corner = (scale * square.x, scale * square.y)
        box = (*corner, corner[0] + scale * _SIDE - 1, corner[1] + scale * _SIDE - 1)
        if square.fill:
            draw.rectangle(box, fill=square.fill)
        else:
            draw.rectangle((box[0] + 1, box[1] + 1, box[2] - 1, box[3] - 1), outline=_EDGE)
    font = ImageFont.load_default(scale * _TEXT)
    for word in layout.words:
        anchor = "rs" if word.ends_there else "ls"
        draw.text((scale * word.x, scale * word.y), word.text, fill=_INK, font=font, anchor=anchor)
    stream = io.BytesIO()
    image.save(stream, "PNG", optimize=True)
    return stream.getvalue()


def _inset(square: _Square) -> str:
    """Return the frame of an empty place, half a line within its edge."""
    return f'x="{square.x + 0.5}" y="{square.y + 0.5}" width="{_SIDE - 1}" height="{_SIDE - 1}"'


def _said(place: Place, swatch: MapSwatch | None) -> str:
    return MAP_PLACES[place] if swatch else MAP_EMPTY.format(place=MAP_PLACES[place])


def _short(name: str) -> str:
    return name if len(name) <= _LONGEST_NAME else f"{name[: _LONGEST_NAME - 1].rstrip()}…"
