"""Pictures on the page: colours in sRGB whatever the file was in, numbers that stand inside their outlines."""

from __future__ import annotations

import base64
import io
from pathlib import Path

import cv2
import numpy as np
import pytest
from coloraide import Color
from PIL import Image

from matcher.photo.colour_space import display_p3, srgb
from matcher.photo.decoded import ColourSpace, Photo
from matcher.report.picture import Picture, make_picture


def photo_of(pixels: np.ndarray, space: ColourSpace) -> Photo:
    height, width = pixels.shape[:2]
    return Photo(Path("photo.jpg"), pixels, (width, height), 1.0, space, ())


def picture_of(pixels: np.ndarray, space: ColourSpace) -> Picture:
    return make_picture(photo_of(pixels, space), file="photo.jpg", whole_room=True, surfaces=[], cards=[])


def decoded(picture: Picture) -> np.ndarray:
    data = base64.b64decode(picture.data_uri.removeprefix("data:image/jpeg;base64,"))
    return np.asarray(Image.open(io.BytesIO(data)), dtype=int)


@pytest.mark.parametrize("encoded", [(200, 150, 90), (90, 120, 160), (128, 128, 128)])
def test_display_p3_is_shown_as_coloraide_converts_it(encoded: tuple[int, int, int]) -> None:
    """coloraide, an independent library; JPEG moves an even patch by a step or two."""
    pixels = np.full((64, 64, 3), encoded, dtype=np.uint8)
    expected = np.array(Color("display-p3", [part / 255 for part in encoded]).convert("srgb").coords()) * 255
    assert decoded(picture_of(pixels, display_p3()))[32, 32] == pytest.approx(expected, abs=3)


def test_srgb_is_left_alone_and_16_bits_are_reduced() -> None:
    pixels = np.full((64, 64, 3), (200, 150, 90), dtype=np.uint8)
    assert decoded(picture_of(pixels, srgb()))[32, 32] == pytest.approx([200, 150, 90], abs=3)
    assert decoded(picture_of(pixels.astype(np.uint16) * 257, srgb()))[32, 32] == pytest.approx([200, 150, 90], abs=3)


def test_large_photos_are_shown_at_a_modest_size() -> None:
    noise = np.random.default_rng(2).integers(90, 160, (1500, 2000, 3), dtype=np.uint8)
    picture = picture_of(noise, srgb())
    assert max(decoded(picture).shape) == 1400
    assert (picture.width, picture.height) == (2000, 1500), "outlines stay in full-size pixels"


@pytest.mark.parametrize(
    "polygon",
    [
        [(10, 10), (90, 10), (90, 90), (10, 90)],
        # A U and a thin L: their centroids lie outside.
        [(10, 10), (30, 10), (30, 70), (70, 70), (70, 10), (90, 10), (90, 90), (10, 90)],
        [(10, 10), (20, 10), (20, 80), (90, 80), (90, 90), (10, 90)],
    ],
)
def test_the_number_stands_inside_its_outline(polygon: list[tuple[float, float]]) -> None:
    """OpenCV's point-in-polygon test, which this code does not use."""
    photo = photo_of(np.zeros((100, 100, 3), dtype=np.uint8), srgb())
    picture = make_picture(photo, file="a.jpg", whole_room=True, surfaces=[(1, [polygon])], cards=[])
    contour = np.array(polygon, dtype=np.float32)
    assert cv2.pointPolygonTest(contour, picture.outlines[0].label, measureDist=True) >= 4


def test_the_number_stands_beside_a_hole_not_in_it() -> None:
    left = [(0, 0), (51, 0), (51, 30), (30, 30), (30, 70), (51, 70), (51, 100), (0, 100)]
    right = [(100 - x, y) for x, y in left]
    photo = photo_of(np.zeros((101, 101, 3), dtype=np.uint8), srgb())
    picture = make_picture(photo, file="a.jpg", whole_room=True, surfaces=[(1, [left, right])], cards=[])
    (outline,) = picture.outlines
    assert len(outline.polygons) == 2, "the seam is gone: one contour and that of the hole"
    hole = np.array([(30, 30), (70, 30), (70, 70), (30, 70)], dtype=np.float32)
    assert cv2.pointPolygonTest(hole, outline.label, measureDist=True) <= -8
