"""What is no photo to measure from: one clear error that names the file and what to do, never anything else."""

from __future__ import annotations

import struct
import zlib
from pathlib import Path

import cv2
import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image

from matcher.errors import PhotoError
from matcher.photo.reading import read_photo
from tests.photo.conftest import Save, quadrants
from tests.photo.simulated_raw import write_dng


def _refusal(path: Path) -> str:
    with pytest.raises(PhotoError) as caught:
        read_photo(path)
    (problem,) = caught.value.problems
    assert problem.where == str(path)
    assert problem.remedy
    return problem.what


def _noise(width: int = 160, height: int = 120) -> np.ndarray:
    return np.random.default_rng(3).integers(0, 255, (height, width, 3), dtype=np.uint8)


@pytest.mark.parametrize("name", ["photo.jpg", "photo.png", "photo.tif", "photo.webp", "photo.heic"])
@pytest.mark.parametrize("kept", [0.3, 0.6, 0.97])
def test_truncated(save: Save, name: str, kept: float) -> None:
    path = save(_noise(), name)
    data = path.read_bytes()
    path.write_bytes(data[: int(len(data) * kept)])
    refusal = _refusal(path)
    assert "damaged or cut short" in refusal or name == "photo.heic"
    assert "\n" not in refusal


def test_truncated_progressive_jpeg_with_a_thumbnail_that_is_whole(save: Save) -> None:
    path = save(_noise(), "photo.jpg", progressive=True)
    thumbnail = save(_noise(64, 64), "thumbnail.jpg").read_bytes()
    data = path.read_bytes()
    # ITU-T T.81, B.2.4.6: an application segment, here with a whole small JPEG in it, as Exif has.
    segment = b"\xff\xe1" + struct.pack(">H", len(thumbnail) + 2) + thumbnail
    assert len(thumbnail) < 65000
    path.write_bytes(data[:2] + segment + data[2:-100])
    assert "the end of the picture is missing" in _refusal(path)


@pytest.mark.parametrize("suffix", [".png", ".tiff"])
def test_truncated_16_bits(tmp_path: Path, suffix: str) -> None:
    path = tmp_path / f"photo{suffix}"
    cv2.imwrite(str(path), _noise().astype(np.uint16) * 257)
    data = path.read_bytes()
    path.write_bytes(data[: len(data) // 2])
    assert "damaged" in _refusal(path) or "not a photo" in _refusal(path)


def test_one_pixel(save: Save) -> None:
    assert "1 x 1 pixels, too small" in _refusal(save(np.zeros((1, 1, 3), np.uint8), "photo.png"))


def test_text_named_jpg(tmp_path: Path) -> None:
    path = tmp_path / "photo.jpg"
    path.write_text("The grey card is on the worktop.\n")
    assert "is not a photo" in _refusal(path)


def test_empty_file(tmp_path: Path) -> None:
    path = tmp_path / "photo.jpg"
    path.write_bytes(b"")
    assert "is empty" in _refusal(path)


def test_folder(tmp_path: Path) -> None:
    assert "is a folder" in _refusal(tmp_path)


def test_missing(tmp_path: Path) -> None:
    assert "no such file" in _refusal(tmp_path / "photo.jpg")


def _png(width: int, height: int) -> bytes:
    """A PNG whose header promises much and whose data hold nothing (PNG 3rd edition, 5.3 and 11.2.1)."""

    def chunk(kind: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    header = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", zlib.compress(b"")) + chunk(b"IEND", b"")


@pytest.mark.parametrize("side", [11_000, 14_000, 60_000])
def test_decompression_bomb_is_refused_from_its_header(tmp_path: Path, side: int) -> None:
    path = tmp_path / "photo.png"
    path.write_bytes(_png(side, side))
    assert "120 megapixels" in _refusal(path)


@pytest.mark.parametrize("mode", ["CMYK", "L", "LAB", "I;16", "1"])
def test_not_rgb(save: Save, mode: str) -> None:
    image = Image.new(mode, (100, 100))
    what = _refusal(save(image, "photo.tif"))
    assert {"CMYK": "CMYK", "LAB": "LAB"}.get(mode, "black and white") in what


def test_cmyk_jpeg(save: Save) -> None:
    assert "CMYK" in _refusal(save(Image.new("CMYK", (100, 100)), "photo.jpg"))


def test_grey_jpeg(save: Save) -> None:
    assert "black and white" in _refusal(save(Image.new("L", (100, 100)), "photo.jpg"))


def _damage(data: bytes, at: float, new: bytes) -> bytes:
    start = int(at * len(data))
    return data[:start] + new + data[start + len(new) :]


class WholeFiles(dict[str, bytes]):
    """One sound file of each format, by suffix; prints short, since a failing example shows its arguments."""

    def __repr__(self) -> str:
        return f"WholeFiles({', '.join(self)})"


@pytest.fixture(scope="module")
def whole_files(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    import pillow_heif

    pillow_heif.register_heif_opener()
    folder = tmp_path_factory.mktemp("whole")
    files = WholeFiles()
    for suffix in ("jpg", "png", "tif", "webp", "heic"):
        path = folder / f"photo.{suffix}"
        Image.fromarray(quadrants()).save(path)
        files[suffix] = path.read_bytes()
    sensor = quadrants() / 400
    files["dng"] = write_dng(folder / "photo.dng", sensor, matrix=np.eye(3), neutral=np.ones(3)).read_bytes()
    return files


def _read_or_refuse(path: Path, data: bytes) -> None:
    path.write_bytes(data)
    try:
        photo = read_photo(path)
    except PhotoError:
        return
    assert photo.pixels.ndim == 3
    assert photo.pixels.shape[2] == 3
    assert min(photo.full_size) >= 64


@settings(max_examples=200, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    suffix=st.sampled_from(["jpg", "png", "tif", "webp", "heic", "dng"]), at=st.floats(0, 1), new=st.binary(max_size=12)
)
def test_damaged_files_are_read_or_refused(
    tmp_path: Path, whole_files: dict[str, bytes], suffix: str, at: float, new: bytes
) -> None:
    _read_or_refuse(tmp_path / "photo", _damage(whole_files[suffix], at, new))


SIGNATURES = (b"", b"\xff\xd8\xff\xe0\0\x10JFIF", b"\x89PNG\r\n\x1a\n", b"II*\0", b"MM\0*", b"RIFF\0\0\0\0WEBPVP8 ")


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(start=st.sampled_from([*SIGNATURES, b"\0\0\0\x18ftypheic", b"\0\0\0\x18ftypcrx "]), rest=st.binary(max_size=300))
def test_wild_bytes_are_refused(tmp_path: Path, start: bytes, rest: bytes) -> None:
    _read_or_refuse(tmp_path / "photo", start + rest)
