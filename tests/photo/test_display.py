"""Pictures for showing: upright, in sRGB, of the size asked for, the same bytes every time."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageCms

from matcher.errors import PhotoError
from matcher.photo.display import display_jpeg
from tests.photo.conftest import BLUE, GREEN, GREY, RED, Save, quadrants
from tests.photo.test_icc_profile import SRGB_CURVE, icc_profile, library_space, matrix_tags


def shown(path: Path, longest_side: int = 120) -> Image.Image:
    return Image.open(io.BytesIO(display_jpeg(path, longest_side=longest_side)))


def corners(image: Image.Image) -> list[tuple[int, ...]]:
    """Return the colours in the middle of the four quarters, reading order."""
    width, height = image.size
    return [
        tuple(int(part) for part in np.asarray(image)[y, x])
        for y in (height // 4, 3 * height // 4)
        for x in (width // 4, 3 * width // 4)
    ]


@pytest.mark.parametrize("orientation", [1, 3, 6, 8])
def test_it_is_upright(save: Save, orientation: int) -> None:
    """Exif 2.32, tag 274: Pillow's own turning of the same file is the reference."""
    from PIL import ImageOps

    path = save(quadrants(), "a.jpg", orientation=orientation)
    image = shown(path)
    with Image.open(path) as stored:
        reference = ImageOps.exif_transpose(stored)
    assert image.size == reference.size
    assert np.abs(np.subtract(corners(image), corners(reference))).max() <= 4


@pytest.mark.parametrize("name", ["a.jpg", "a.png", "a.tif", "a.webp", "a.heic"])
def test_every_format_is_shown(save: Save, name: str) -> None:
    image = shown(save(quadrants(), name))
    assert image.format == "JPEG"
    assert np.abs(np.subtract(corners(image), [RED, GREEN, BLUE, GREY])).max() <= 12


@pytest.mark.parametrize(
    ("size", "longest_side", "wanted"),
    [((120, 80), 64, (64, 43)), ((80, 120), 64, (43, 64)), ((120, 80), 500, (120, 80)), ((4000, 2000), 100, (100, 50))],
)
def test_the_longer_side_is_at_most_what_was_asked(
    save: Save, size: tuple[int, int], longest_side: int, wanted: tuple[int, int]
) -> None:
    assert shown(save(quadrants(*size), "a.jpg"), longest_side).size == wanted


def test_another_colour_space_is_converted(save: Save) -> None:
    """Against LittleCMS, through Pillow, with a profile that has sRGB's curve and the primaries of Display P3."""
    to_xyz, _ = library_space("Display P3")
    profile = icc_profile(matrix_tags(to_xyz, SRGB_CURVE))
    path = save(quadrants(), "a.png", icc_profile=profile)
    image = shown(path)
    reference = ImageCms.profileToProfile(
        Image.fromarray(quadrants()),
        ImageCms.ImageCmsProfile(io.BytesIO(profile)),
        ImageCms.createProfile("sRGB"),
        renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC,
    )
    assert reference is not None
    assert "icc_profile" not in image.info
    assert np.abs(np.subtract(corners(image), corners(reference))).max() <= 4
    assert np.abs(np.subtract(corners(image), [RED, GREEN, BLUE, GREY])).max() > 10


def test_the_same_photo_gives_the_same_bytes(save: Save) -> None:
    path = save(quadrants(), "a.jpg")
    assert display_jpeg(path, longest_side=64) == display_jpeg(path, longest_side=64)


def test_what_is_no_photo_is_not_shown(tmp_path: Path) -> None:
    (tmp_path / "a.jpg").write_text("text")
    with pytest.raises(PhotoError, match="is not a photo"):
        display_jpeg(tmp_path / "a.jpg", longest_side=64)
