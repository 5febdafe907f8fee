"""The map round a paint as a drawing: what stands where, exact colours, nothing on a swatch, empty places drawn."""

from __future__ import annotations

import io
import xml.etree.ElementTree as ET

import numpy as np
import pytest
from PIL import Image

from matcher.report.neighbour_map import MapSwatch, map_sheet
from matcher.report.sheet import Sheet
from matcher.report.sheet_png import png_of
from matcher.report.sheet_svg import svg_of

IT = MapSwatch("It & <more>", "#c2beb6")
LIGHTER, DARKER = MapSwatch("Up", "#d6d2ca"), MapSwatch("Down", "#a8a49c")
WARMER, COOLER = MapSwatch("Warm", "#c8bcae"), MapSwatch("Cool", "#b8c0c2")
GREENER, PINKER = MapSwatch("Green", "#bac2b2"), MapSwatch("Pink", "#cab8b6")
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture
def sheet() -> Sheet:
    return map_sheet(
        IT,
        {
            "lighter": LIGHTER, "darker": DARKER, "warmer": WARMER,
            "cooler": COOLER, "greener": GREENER, "pinker": PINKER,
        },
    )  # fmt: skip


def _places(svg: str) -> dict[str, tuple[float, float, float, float]]:
    """Return x, y, width and height of every rectangle with a title, by its fill."""
    shapes = ET.fromstring(svg).iter(f"{SVG}rect")
    return {
        shape.attrib["fill"]: tuple(float(shape.attrib[name]) for name in ("x", "y", "width", "height"))  # type: ignore[misc] # four of them
        for shape in shapes
        if shape.find(f"{SVG}title") is not None
    }


def test_light_stands_above_and_each_arm_on_its_side(sheet: Sheet) -> None:
    at = _places(svg_of(sheet))
    assert at[LIGHTER.hex][1] < at[IT.hex][1] < at[DARKER.hex][1]
    assert at[COOLER.hex][0] < at[IT.hex][0] < at[WARMER.hex][0]
    assert at[GREENER.hex][1] < at[IT.hex][1] < at[PINKER.hex][1]
    # They touch: the edge of one is the edge of the next.
    assert at[LIGHTER.hex][1] + at[LIGHTER.hex][3] == at[IT.hex][1]
    assert at[COOLER.hex][0] + at[COOLER.hex][2] == at[IT.hex][0]


def test_nothing_is_written_on_a_swatch(sheet: Sheet) -> None:
    """Measured in the PNG: every pixel of a swatch is its sRGB, 228 by 76 pixels doubled for each row and arm."""
    image = np.asarray(Image.open(io.BytesIO(png_of(sheet))).convert("RGB"))
    side = 2 * 76
    for swatch, count in ((IT, 2), *((one, 1) for one in (LIGHTER, DARKER, WARMER, COOLER, GREENER, PINKER))):
        rgb = [int(swatch.hex[at : at + 2], 16) for at in (1, 3, 5)]
        assert int((image == rgb).all(axis=2).sum()) == count * side * side, swatch.name


@pytest.mark.parametrize(
    ("paint", "ground"),
    [("#c2beb6", "#e0e0e0"), ("#f4f4f0", "#b9b9b9"), ("#dedede", "#b9b9b9"), ("#303030", "#e0e0e0")],
)
def test_the_ground_is_a_grey_that_the_paint_stands_out_from(paint: str, ground: str) -> None:
    assert map_sheet(MapSwatch("it", paint), {}).boxes[0].fill == ground


def test_an_empty_place_is_drawn_empty_and_said(sheet: Sheet) -> None:
    bare = map_sheet(IT, {"lighter": LIGHTER, "warmer": None})
    assert svg_of(bare).count("stroke-dasharray") == 5
    assert "warmer: none" in svg_of(bare)
    assert "lighter: Up" in bare.alt
    assert "stroke-dasharray" not in svg_of(sheet)


def test_names_are_escaped_and_long_ones_shortened() -> None:
    drawing = svg_of(map_sheet(IT, {}))
    assert ET.fromstring(drawing).attrib["aria-label"].startswith("The neighbours of It & <more>.")
    long = svg_of(map_sheet(MapSwatch("A name as long as a sentence", "#c2beb6"), {}))
    words = [word.text for word in ET.fromstring(long).iter(f"{SVG}text")]
    assert "A name as lo…" in words


def test_the_same_map_gives_the_same_bytes(sheet: Sheet) -> None:
    assert png_of(sheet) == png_of(sheet)
    assert svg_of(sheet) == svg_of(sheet)
