"""The picture of a paint: true in colour to the last bit in both files, nothing written on a swatch, honest ends."""

from __future__ import annotations

import io
import re
import zlib
from collections.abc import Iterator

import numpy as np
import pytest
from coloraide import Color
from defusedxml import ElementTree
from PIL import Image

from matcher.colorimetry.lrv import lrv
from matcher.description.examined import STARK_WHITE, Examined, examine
from matcher.ranking.meeting import meet, part_of
from matcher.report import lettering
from matcher.report.ground import GREYS, ground_of
from matcher.report.paint_picture import paint_picture
from matcher.report.paint_view import paint_view
from matcher.report.sheet import Sheet
from matcher.report.sheet_png import SCALE, png_of
from matcher.report.sheet_svg import svg_of

TILE = [75.0, -4.0, 8.0]
PAINTS = {
    "violet grey": [76.0, 1.5, -3.0],
    "warm white": [94.0, 1.7, 1.8],
    "deep green": [33.0, -7.0, 4.0],
    "black": [0.0, 0.0, 0.0],
    "white": [100.0, 0.0, 0.0],
    "clean blue": [34.0, 4.0, -39.0],
}


def drawn(lab: list[float]) -> tuple[Examined, Sheet]:
    found = examine(lab)
    tile = part_of(TILE, float(lrv(TILE)), Color("lab-d65", TILE).convert("srgb").to_string(hex=True))
    view = paint_view(found, [meet(lab, found.colour.lrv, "tile", [tile])], code="x-1", name="Probe")
    return found, paint_picture(view)


def expected(lab: list[float], found: Examined) -> Iterator[tuple[float, ...]]:
    """Yield the exact sRGB, 0..255, of every swatch in order, by coloraide, an independent library."""
    white, grey = STARK_WHITE.tolist(), found.true_grey.tolist()
    for each in (lab, white, lab, grey, lab, TILE, *found.strip.steps.tolist()):
        yield tuple(255 * part for part in Color("lab-d65", each).convert("srgb").coords())


@pytest.mark.parametrize("lab", PAINTS.values(), ids=PAINTS)
def test_every_swatch_is_its_colour_in_both_files(lab: list[float]) -> None:
    """Half a level of 8 bits is what rounding may cost. One colour all over: nothing is written on it."""
    found, sheet = drawn(lab)
    swatches = [box for box in sheet.boxes if box.name]
    pixels = np.asarray(Image.open(io.BytesIO(png_of(sheet))).convert("RGB"))
    assert pixels.shape == (sheet.height * SCALE, sheet.width * SCALE, 3)
    svg = ElementTree.fromstring(svg_of(sheet))
    fills = [rect.get("fill") for rect in svg.iter("{http://www.w3.org/2000/svg}rect") if len(rect)]
    wanted = list(expected(lab, found))
    assert len(swatches) == len(fills) == len(wanted)
    for box, fill, exact in zip(swatches, fills, wanted, strict=True):
        left, top = box.x * SCALE, box.y * SCALE
        inside = pixels[top : top + box.height * SCALE, left : left + box.width * SCALE].reshape(-1, 3)
        assert (inside == inside[0]).all(), box.name
        assert inside[0].tolist() == pytest.approx(exact, abs=0.51), box.name
        assert fill is not None
        assert [int(fill[place : place + 2], 16) for place in (1, 3, 5)] == inside[0].tolist()


def test_the_svg_needs_nothing_else() -> None:
    text = svg_of(drawn(PAINTS["violet grey"])[1])
    assert not re.search(r"href|url\(|<image|<script|<style|http(?!://www\.w3\.org/2000/svg)", text)
    assert ">A mid grey that turns violet.</text>" in text
    assert "system-ui" in text


def test_the_png_says_that_it_is_srgb_and_repeats() -> None:
    """The chunk of W3C PNG, 11.3.2.5, before any pixel; its checksum holds."""
    sheet = drawn(PAINTS["warm white"])[1]
    data = png_of(sheet)
    place = data.index(b"sRGB")
    assert place < data.index(b"IDAT")
    assert data[place - 4 : place] == (1).to_bytes(4, "big")
    assert data[place + 5 : place + 9] == zlib.crc32(data[place : place + 5]).to_bytes(4, "big")
    assert png_of(sheet) == data


@pytest.mark.parametrize("lightness", [5.0, 50.0, 66.0, 75.0, 80.0, 83.0, 90.0, 98.0])
def test_no_paint_melts_into_its_ground(lightness: float) -> None:
    """By coloraide's L* of the two greys: ten units away wherever one of them is, else on the farther one."""
    away = {kind: abs(Color(grey).convert("lab-d65")["lightness"] - lightness) for kind, grey in GREYS.items()}
    chosen = ground_of(float(lrv([lightness, 0.0, 0.0])))
    assert away[chosen] >= 10 or away[chosen] == max(away.values())
    assert chosen == "ground" or away["ground"] < 10


def test_without_words_the_swatches_stay() -> None:
    sheet = drawn(PAINTS["violet grey"])[1]
    assert sheet.wordless().boxes == sheet.boxes
    assert sheet.wordless().lines == ()


def test_a_colour_no_screen_shows_is_told_in_the_details() -> None:
    said = " ".join(line.text for line in drawn([60.0, -80.0, 40.0])[1].lines)
    assert "The screen cannot show all of it" in said
    assert "The screen cannot" not in " ".join(line.text for line in drawn(PAINTS["violet grey"])[1].lines)


def test_without_a_surface_there_are_two_pairs() -> None:
    view = paint_view(examine(PAINTS["violet grey"]))
    assert [pair["kind"] for pair in view["pairs"]] == ["white", "grey"]
    assert len([box for box in paint_picture(view).boxes if box.name]) == 4 + 7


def test_a_machine_without_fonts_still_writes(monkeypatch: pytest.MonkeyPatch) -> None:
    """The face that comes with Pillow has letters of English: others lose their accent, and a minus is a hyphen."""
    lettering.face.cache_clear()
    lettering._writable.cache_clear()
    monkeypatch.setattr(lettering, "_FILES", dict.fromkeys(lettering._FILES, ()))
    try:
        assert lettering.writable("Élan \u2212 \u65e5\u672c", "sans") == "Elan - ??"
        assert lettering.broken("one two three", "sans", 20, 60) == ["one", "two", "three"]
        png_of(drawn(PAINTS["violet grey"])[1])
    finally:
        lettering.face.cache_clear()
        lettering._writable.cache_clear()


def test_lines_fit_where_they_stand() -> None:
    sheet = drawn(PAINTS["warm white"])[1]
    for line in sheet.lines:
        wide = lettering.width_of(line.text, line.face, line.size)
        if line.lead:
            wide += lettering.width_of(f"{line.lead} ", "bold", line.size)
        assert line.x + (0 if line.end else wide) <= sheet.width - 40, line.text
