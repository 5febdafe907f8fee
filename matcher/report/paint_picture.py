"""The picture of one paint examined: large swatches on neutral grey, beside what shows its lean; nothing written on
any.

One layout, from which an SVG and a PNG are written (sheet_svg.py, sheet_png.py). The ground is #b9b9b9; a paint within
10 of it in L* would melt into it and lies on #e0e0e0 (matcher/report/ground.py).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from matcher.report.lettering import broken
from matcher.report.paint_sentences import THIS_COLOUR
from matcher.report.sheet import INK, SOFT, Box, Face, Line, Sheet

Json = Mapping[str, Any]

# Units, on a grid of 8.
_WIDTH, _MARGIN, _GUTTER, _PAD = 1200, 48, 24, 16
_SWATCH, _STRIP = 256, 88
_INNER = _WIDTH - 2 * _MARGIN
_TERM = 168  # how wide the first column of the list is
_LABEL = 28  # what stands below swatches within their ground
# Type: size and the height of its line.
_TITLE, _LEDE, _BODY, _SMALL, _FINE = (40, 48), (20, 28), (18, 26), (16, 24), (15, 24)
_RULE = "#d4d4d4"


class _Sheet:
    """A sheet as it grows downwards."""

    def __init__(self) -> None:
        self.boxes: list[Box] = []
        self.lines: list[Line] = []
        self.y = _MARGIN

    def text(
        self, text: str, kind: tuple[int, int], *, x: int = _MARGIN, y: int | None = None, width: int = _INNER,
        face: Face = "sans", fill: str = INK, lead: str = "",
    ) -> int:  # fmt: skip
        """Write a paragraph that begins with ``lead`` in bold, its top at ``y``; return where it ends."""
        size, height = kind
        top = self.y if y is None else y
        for line in broken(text, face, size, width, lead=lead):
            self.lines.append(Line(x, top + round((height + 0.7 * size) / 2), line, size, face, fill, lead=lead))
            top, lead = top + height, ""
        return top


def paint_picture(view: Json) -> Sheet:
    """Return the drawing of a paint from its view (:func:`matcher.report.paint_view.paint_view`)."""
    sheet = _Sheet()
    named = " ".join(filter(None, (view["name"], view["code"]))) or view["hex"]
    sheet.y = sheet.text(named, _BODY, fill=SOFT)
    sheet.y = sheet.text(view["headline"], _TITLE, face="serif")
    sheet.y = sheet.text(view["lede"], _LEDE, y=sheet.y + 4) + 20
    _pairs(sheet, view)
    _strip(sheet, view)
    _list(sheet, view["means"])
    _details(sheet, view["details"])
    return Sheet(_WIDTH, sheet.y + _MARGIN, tuple(sheet.boxes), tuple(sheet.lines), f"{named}: {view['headline']}")


def _pairs(sheet: _Sheet, view: Json) -> None:
    """Put the paint edge to edge with each colour that tells something of it."""
    pairs: Sequence[Json] = view["pairs"]
    across = (_INNER - (len(pairs) - 1) * _GUTTER) // len(pairs)
    half = (across - 2 * _PAD) // 2
    own = view["name"] or THIS_COLOUR
    top, end = sheet.y, sheet.y
    height = _PAD + _SWATCH + _LABEL + 8
    for place, pair in enumerate(pairs):
        left = _MARGIN + place * (across + _GUTTER)
        sheet.boxes.append(Box(left, top, across, height, view["ground_hex"]))
        for number, (colour, label) in enumerate(zip(pair["hexes"], (own, pair["label"]), strict=True)):
            x = left + _PAD + number * half
            sheet.boxes.append(Box(x, top + _PAD, half, _SWATCH, colour, label))
            sheet.text(label, _SMALL, x=x, y=top + _PAD + _SWATCH + 4, width=10 * half, fill="#000000")
        said = sheet.text(pair["bold"], _BODY, x=left, y=top + height + 10, width=across, face="bold")
        end = max(end, sheet.text(pair["text"], _BODY, x=left, y=said, width=across))
    sheet.y = end + 20


def _strip(sheet: _Sheet, view: Json) -> None:
    """Put the steps from the paint to where everybody sees its lean in a row, or say why there are none."""
    strip, top = view["strip"], sheet.y
    if not strip["hexes"]:
        sheet.y = sheet.text(strip["said"], _BODY, fill=SOFT) + 20
        return
    height, steps = _PAD + _STRIP + _LABEL + 8, len(strip["hexes"])
    width = (_INNER - 2 * _PAD) // steps
    left = _MARGIN + _PAD
    sheet.boxes.append(Box(_MARGIN, top, _INNER, height, view["ground_hex"]))
    for place, colour in enumerate(strip["hexes"]):
        last = _INNER - 2 * _PAD - place * width if place == steps - 1 else width
        sheet.boxes.append(Box(left + place * width, top + _PAD, last, _STRIP, colour, _step_name(strip, place)))
    y = top + _PAD + _STRIP + 4
    sheet.text(strip["from"], _SMALL, x=left, y=y, fill="#000000")
    sheet.text(strip["said"], _SMALL, x=left + 2 * width, y=y, fill="#000000")
    size, line = _SMALL
    right = _MARGIN + _INNER - _PAD
    sheet.lines.append(Line(right, y + round((line + 0.7 * size) / 2), strip["to"], size, "sans", "#000000", end=True))
    sheet.y = top + height + 24


def _step_name(strip: Json, place: int) -> str:
    last = len(strip["hexes"]) - 1
    return str(strip["from"]) if place == 0 else str(strip["to"]) if place == last else f"step {place} of {last}"


def _list(sheet: _Sheet, rows: Sequence[Json]) -> None:
    """Write rows of a term and what is said of it."""
    for row in rows:
        sheet.boxes.append(Box(_MARGIN, sheet.y, _INNER, 1, _RULE))
        y = sheet.y + 8
        sheet.text(row["term"], _SMALL, y=y, fill=SOFT)
        end = sheet.text(row["text"], _SMALL, x=_MARGIN + _TERM, y=y, width=_INNER - _TERM, lead=row["bold"])
        sheet.y = end + 8


def _details(sheet: _Sheet, rows: Sequence[Json]) -> None:
    """Write the numbers for other software in two columns, and below them where the words come from."""
    *short, long = rows
    sheet.boxes.append(Box(_MARGIN, sheet.y, _INNER, 1, _RULE))
    top, half = sheet.y + 20, (_INNER - _GUTTER) // 2
    lines = (len(short) + 1) // 2
    for place, row in enumerate(short):
        x, y = _MARGIN + (place // lines) * (half + _GUTTER), top + (place % lines) * _FINE[1]
        sheet.text(row["term"], _FINE, x=x, y=y, fill=SOFT)
        sheet.text(row["text"], _FINE, x=x + _TERM, y=y, width=_INNER)
    sheet.y = sheet.text(long["text"], _FINE, y=top + lines * _FINE[1] + 12, fill=SOFT)
