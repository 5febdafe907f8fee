"""Formats, orientation, display-size decode, 16 bits, alpha, several frames."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import cv2
import numpy as np
import pytest
from PIL import Image

from matcher.errors import PhotoError
from matcher.photo.decoded import Photo
from matcher.photo.quality import check_photo
from matcher.photo.reading import read_and_check, read_photo
from tests.photo.conftest import BLUE, GREEN, GREY, RED, Save, quadrants

FORMATS = ("photo.jpg", "photo.png", "photo.tif", "photo.webp", "photo.heic")
# Exif 2.32, tag 274: where row 0 and column 0 of the stored picture lie when it is held upright. Pillow's own
# transposition of the upright picture into the stored one is the independent side of the test.
STORED_FROM_UPRIGHT = {
    1: None,
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_90,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_270,
}


def _corners(pixels: np.ndarray) -> list[tuple[int, ...]]:
    height, width = pixels.shape[:2]
    places = [
        (height // 4, width // 4),
        (height // 4, -width // 4),
        (-height // 4, width // 4),
        (-height // 4, -width // 4),
    ]
    return [tuple(int(value) for value in pixels[place]) for place in places]


def _assert_upright(pixels: np.ndarray, tolerance: int = 8) -> None:
    np.testing.assert_allclose(_corners(pixels), [RED, GREEN, BLUE, GREY], atol=tolerance)


@pytest.mark.parametrize("name", FORMATS)
@pytest.mark.parametrize("orientation", range(1, 9))
def test_every_orientation_of_exif_tag_274_in_every_format(save: Save, name: str, orientation: int) -> None:
    upright = Image.fromarray(quadrants())
    turn = STORED_FROM_UPRIGHT[orientation]
    stored = upright if turn is None else upright.transpose(turn)
    photo = read_photo(save(stored, name, orientation=orientation))
    assert photo.full_size == (120, 80)
    assert photo.pixels.shape == (80, 120, 3)
    _assert_upright(photo.pixels)


@pytest.mark.parametrize("name", FORMATS)
def test_large_photo_is_decoded_at_half_size_in_the_full_size_frame(save: Save, name: str) -> None:
    photo = read_photo(save(quadrants(603, 402), name), longest_side=300)
    assert photo.full_size == (603, 402)
    assert photo.pixels.shape == (201, 302, 3)
    assert photo.scale == pytest.approx(0.5, abs=0.002)
    _assert_upright(photo.pixels)


def test_turned_jpeg_is_reduced_too(save: Save) -> None:
    stored = Image.fromarray(quadrants(1200, 800)).transpose(Image.Transpose.ROTATE_90)
    photo = read_photo(save(stored, "photo.jpg", orientation=6), longest_side=300)
    assert photo.full_size == (1200, 800)
    assert photo.pixels.shape == (200, 300, 3)
    _assert_upright(photo.pixels)


def test_longest_side_is_never_undercut(save: Save) -> None:
    assert read_photo(save(quadrants(599, 400), "photo.jpg"), longest_side=300).scale == 1.0


@pytest.mark.parametrize("suffix", [".png", ".tiff"])
def test_16_bits_are_kept(tmp_path: Path, suffix: str) -> None:
    pixels = quadrants().astype(np.uint16) * 257 + 13
    path = tmp_path / f"photo{suffix}"
    cv2.imwrite(str(path), pixels[..., ::-1])
    photo = read_photo(path)
    assert photo.pixels.dtype == np.uint16
    np.testing.assert_array_equal(photo.pixels, pixels)
    assert "16 bits kept" in [finding.check for finding in photo.findings]


def test_16_bits_with_orientation_and_alpha(tmp_path: Path, save: Save) -> None:
    pixels = np.dstack([quadrants().astype(np.uint16) * 257, np.full((80, 120), 65535, np.uint16)])
    path = tmp_path / "photo.png"
    cv2.imwrite(str(path), np.rot90(pixels[..., [2, 1, 0, 3]]))
    # Add the orientation by hand: an eXIf chunk (PNG 3rd edition, 11.3.4.4) before the first IDAT.
    exif = Image.Exif()
    exif[274] = 6
    body = b"eXIf" + exif.tobytes().removeprefix(b"Exif\0\0")
    import struct
    import zlib

    chunk = struct.pack(">I", len(body) - 4) + body + struct.pack(">I", zlib.crc32(body))
    data = path.read_bytes()
    at = data.index(b"IDAT") - 4
    path.write_bytes(data[:at] + chunk + data[at:])
    photo = read_photo(path)
    assert photo.full_size == (120, 80)
    _assert_upright(photo.pixels / 257)


def test_alpha_is_dropped_and_said(save: Save) -> None:
    rgba = np.dstack([quadrants(), np.full((80, 120), 90, np.uint8)])
    photo = read_photo(save(rgba, "photo.png"))
    _assert_upright(photo.pixels, tolerance=0)
    assert "transparency dropped" in [finding.check for finding in photo.findings]


def test_a_partly_transparent_palette_is_read_in_silence(tmp_path: Path) -> None:
    """Its colours, opaque; Pillow warns on the straight way to RGB (here a warning is an error)."""
    picture = Image.new("P", (80, 80))
    picture.putpalette([200, 150, 100, 20, 40, 60])
    picture.putpixel((3, 3), 1)
    picture.save(tmp_path / "palette.png", transparency=bytes([90, 200]))
    pixels = read_photo(tmp_path / "palette.png").pixels
    assert pixels[0, 0].tolist() == [200, 150, 100]
    assert pixels[3, 3].tolist() == [20, 40, 60]


def test_first_frame_of_an_animation_is_used_and_said(save: Save) -> None:
    other = Image.fromarray(np.zeros((80, 120, 3), np.uint8))
    photo = read_photo(save(quadrants(), "photo.webp", save_all=True, append_images=[other]))
    _assert_upright(photo.pixels)
    frames = {finding.check: dict(finding.values) for finding in photo.findings}["first frame used"]
    assert frames == {"frames": 2}


def test_multi_picture_jpeg_of_a_phone_is_a_photo(save: Save) -> None:
    other = Image.fromarray(np.zeros((80, 120, 3), np.uint8))
    photo = read_photo(save(quadrants(), "photo.mpo", save_all=True, append_images=[other]))
    _assert_upright(photo.pixels)
    assert "first frame used" not in [finding.check for finding in photo.findings]


def test_content_decides_not_the_name(save: Save, tmp_path: Path) -> None:
    path = tmp_path / "really_png.jpg"
    path.write_bytes(save(quadrants(), "photo.png").read_bytes())
    _assert_upright(read_photo(path).pixels, tolerance=0)


def test_screenshot_is_said_where_exif_says_so(save: Save) -> None:
    exif = Image.Exif()
    exif.get_ifd(0x8769)[0x9286] = b"ASCII\0\0\0Screenshot"
    photo = read_photo(save(quadrants(), "photo.jpg", exif=exif))
    assert ("screenshot", "warn") in [(finding.check, finding.level) for finding in photo.findings]


def test_the_file_is_only_read(save: Save) -> None:
    path = save(quadrants(), "photo.jpg", orientation=3)
    before = path.read_bytes()
    read_photo(path)
    assert path.read_bytes() == before


def test_trailing_bytes_after_a_jpeg_do_no_harm(save: Save) -> None:
    path = save(quadrants(), "photo.jpg")
    path.write_bytes(path.read_bytes() + b"motion photo" * 50)
    _assert_upright(read_photo(path).pixels)


@pytest.mark.parametrize("size", [(808, 640), (811, 648), (640, 803)])
def test_a_reduced_picture_is_the_same_in_strips(save: Save, size: tuple[int, int]) -> None:
    """OpenCV's reduction of the whole is the independent side; heights that 4 divides are reduced strip by strip."""
    width, height = size
    pixels = np.random.default_rng(9).integers(0, 256, (height, width, 3), np.uint8)
    photo = read_photo(save(pixels, "photo.png"), longest_side=200)
    whole = cv2.resize(pixels, (-(-width // 4), -(-height // 4)), interpolation=cv2.INTER_AREA)
    np.testing.assert_array_equal(photo.pixels, whole)


def test_a_photo_is_there_before_its_fitness_is(save: Save) -> None:
    path = save(quadrants(1600, 1200), "photo.jpg", quality=95)
    told: list[object] = []
    found = read_and_check(path, partial(told.append, "begun"), told.append)
    plain, (begun, photo) = read_photo(path), told
    assert begun == "begun"
    assert isinstance(photo, Photo)
    np.testing.assert_array_equal(photo.pixels, plain.pixels)
    assert not photo.pixels.flags.writeable
    assert found == check_photo(plain)


def test_a_photo_that_cannot_be_read_is_no_photo_to_check(tmp_path: Path) -> None:
    path = tmp_path / "photo.jpg"
    path.write_bytes(b"\xff\xd8\xff")
    told: list[object] = []
    with pytest.raises(PhotoError):
        read_and_check(path, lambda: None, told.append)
    assert not told
