"""HDR pictures, gain maps, and more than 8 bits.

Truth: colour-science's own BT.2100 functions and BT.2020 space; the code values that were written into the files by
libheif and OpenCV; segment and box names of ISO 21496-1, ISO/IEC 23008-12 and PNG's third edition.
"""

from __future__ import annotations

import struct
import zlib
from pathlib import Path

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from matcher.photo.colour_space import bt2020
from matcher.photo.decoded import Photo
from matcher.photo.hdr_transfer import hlg_to_linear, pq_to_linear
from matcher.photo.pixels import as_eight_bits
from matcher.photo.reading import read_photo
from tests.photo.conftest import RED, Save, quadrants
from tests.photo.test_icc_profile import SRGB_CURVE, icc_profile, library_space, matrix_tags

Codes = NDArray[np.uint16]
BT2020, P3 = 9, 12
PQ, HLG, SRGB = 16, 18, 13
WHITE_CD_M2 = 203  # ITU-R BT.2408-7, 2.1: HDR reference white
# ITU-R BT.2408-7, table 1, rounded there to whole per cent: grey card and white in a PQ and in an HLG signal.
GREY_CARD, PERFECT_WHITE = {PQ: 0.38, HLG: 0.38}, {PQ: 0.58, HLG: 0.75}


def _colour_models() -> object:
    import warnings

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # its notice that matplotlib, which is not used, is absent
        import colour

        return colour.models


def test_pq_against_colour_science_bt2100() -> None:
    signal = np.linspace(0, 1, 1024)
    expected = _colour_models().eotf_BT2100_PQ(signal) / 10_000  # type: ignore[attr-defined]  # no stubs
    np.testing.assert_allclose(pq_to_linear(signal), expected, atol=1e-9)


def test_hlg_against_colour_science_bt2100() -> None:
    signal = np.linspace(0, 1, 1024)
    expected = _colour_models().oetf_inverse_BT2100_HLG(signal)  # type: ignore[attr-defined]  # no stubs
    np.testing.assert_allclose(hlg_to_linear(signal), expected, atol=1e-9)


def test_bt2020_against_colour_science() -> None:
    matrix, _ = library_space("ITU-R BT.2020")
    np.testing.assert_allclose(bt2020().to_xyz, matrix, atol=3e-4)  # its white is rounded to four decimals


def _heic(path: Path, codes: Codes, *, primaries: int, transfer: int) -> Path:
    """Write 10 bit codes (H, W, 3) without loss."""
    import pillow_heif

    height, width = codes.shape[:2]
    file = pillow_heif.from_bytes(mode="RGB;16", size=(width, height), data=(codes << 6).tobytes())
    file.save(
        path,
        quality=-1,
        chroma=444,
        matrix_coefficients=0,
        color_primaries=primaries,
        transfer_characteristics=transfer,
        full_range_flag=1,
    )
    return path


def _ramp() -> Codes:
    return np.broadcast_to(np.arange(1024, dtype=np.uint16)[None, :, None], (64, 1024, 3)).copy()


def test_ten_bits_of_heic_are_kept(tmp_path: Path) -> None:
    photo = read_photo(_heic(tmp_path / "photo.heic", _ramp(), primaries=1, transfer=SRGB))
    np.testing.assert_array_equal(photo.pixels[0, :, 0], np.rint(np.arange(1024) * (65535 / 1023)))
    assert dict(_finding(photo, "16 bits kept")) == {"bits": 10}


@pytest.mark.parametrize(("primaries", "name"), [(P3, "Display P3"), (BT2020, "BT.2020 primaries"), (1, "sRGB")])
def test_stated_primaries_of_ten_bits(tmp_path: Path, primaries: int, name: str) -> None:
    photo = read_photo(_heic(tmp_path / "photo.heic", _ramp(), primaries=primaries, transfer=SRGB))
    assert dict(_finding(photo, "colour profile")) == {"name": name, "source": "file header"}


def test_sixteen_bits_become_eight_without_a_bias() -> None:
    values = np.arange(65536, dtype=np.uint16)
    error = as_eight_bits(values).astype(float) - values / 257
    assert np.abs(error).max() <= 0.5
    for part in np.split(error, 8):
        assert abs(part.mean()) < 0.01


def _finding(photo: Photo, check: str) -> tuple[tuple[str, float | str], ...]:
    return {finding.check: finding.values for finding in photo.findings}[check]


def _linear(photo: Photo) -> NDArray[np.float64]:
    positions = np.linspace(0, 1, len(photo.colour_space.decode_table))
    return np.asarray(np.interp(photo.pixels / 65535, positions, photo.colour_space.decode_table))


@pytest.mark.parametrize("transfer", [PQ, HLG])
def test_hdr_heic_is_decoded_to_light(tmp_path: Path, transfer: int) -> None:
    """Ratios of light across the ramp, below the clip, are those of colour-science's functions."""
    photo = read_photo(_heic(tmp_path / "photo.heic", _ramp(), primaries=BT2020, transfer=transfer))
    models = _colour_models()
    signal = np.arange(1024) / 1023
    function = models.eotf_BT2100_PQ if transfer == PQ else models.oetf_inverse_BT2100_HLG  # type: ignore[attr-defined]
    expected = function(signal)
    white = int(1023 * PERFECT_WHITE[transfer])
    measured = _linear(photo)[0, :, 1]
    shown = slice(white // 4, white)
    np.testing.assert_allclose(measured[shown] / measured[white], expected[shown] / expected[white], rtol=0.01)
    assert measured[white] < 1
    assert dict(_finding(photo, "HDR picture")) == {"transfer": "PQ" if transfer == PQ else "HLG"}
    assert photo.colour_space.name == "BT.2020 primaries"
    assert not photo.colour_space.tone_known


@pytest.mark.parametrize("transfer", [PQ, HLG])
def test_grey_card_and_white_of_bt2408_table_1(tmp_path: Path, transfer: int) -> None:
    """The recommendation puts an 18 % card and a white at these signals, rounded to whole per cent of the signal."""
    codes = np.full((64, 128, 3), round(1023 * PERFECT_WHITE[transfer]), np.uint16)
    codes[:, 64:] = round(1023 * GREY_CARD[transfer])
    linear = _linear(read_photo(_heic(tmp_path / "photo.heic", codes, primaries=BT2020, transfer=transfer)))
    ratio = linear[32, 96, 1] / linear[32, 32, 1]
    # Half a per cent of a PQ signal is about 5 % of the light there.
    assert ratio == pytest.approx(0.18 if transfer == HLG else 26 / WHITE_CD_M2, rel=0.08)


def _png_chunk(kind: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))


def test_hdr_png_says_so_in_its_cicp_chunk(tmp_path: Path) -> None:
    path = tmp_path / "photo.png"
    cv2.imwrite(str(path), (_ramp().astype(np.uint32) * 65535 // 1023).astype(np.uint16))
    data = path.read_bytes()
    at = data.index(b"IDAT") - 4
    path.write_bytes(data[:at] + _png_chunk(b"cICP", bytes([P3, PQ, 0, 1])) + data[at:])
    photo = read_photo(path)
    assert dict(_finding(photo, "HDR picture")) == {"transfer": "PQ"}
    assert photo.colour_space.name == "Display P3"


def test_hdr_profile_says_so_in_its_cicp_tag(save: Save) -> None:
    matrix, _ = library_space("ITU-R BT.2020")
    tags = matrix_tags(matrix, SRGB_CURVE) | {b"cicp": b"cicp\0\0\0\0" + bytes([BT2020, HLG, 0, 1])}
    photo = read_photo(save(quadrants(), "photo.jpg", icc_profile=icc_profile(tags)))
    assert dict(_finding(photo, "HDR picture")) == {"transfer": "HLG"}


def _with_segment(data: bytes, marker: int, content: bytes) -> bytes:
    """Put an application segment behind a JPEG's start; ITU-T T.81, B.2.4.6."""
    return data[:2] + bytes([0xFF, marker]) + struct.pack(">H", len(content) + 2) + content + data[2:]


XMP = (
    b"http://ns.adobe.com/xap/1.0/\0"
    b"<x:xmpmeta><rdf:Description xmlns:hdrgm='.../hdr-gain-map/1.0/' hdrgm:Version='1.0'/></x:xmpmeta>"
)


@pytest.mark.parametrize(
    ("marker", "content"), [(0xE1, XMP), (0xE2, b"urn:iso:std:iso:ts:21496:-1\0\0\0\0\0")], ids=["XMP", "ISO 21496-1"]
)
def test_gain_map_of_a_jpeg_is_left_alone_and_said(save: Save, marker: int, content: bytes) -> None:
    path = save(quadrants(), "photo.jpg")
    plain = read_photo(path).pixels
    path.write_bytes(_with_segment(path.read_bytes(), marker, content))
    photo = read_photo(path)
    np.testing.assert_array_equal(photo.pixels, plain)
    assert "gain map ignored" in [finding.check for finding in photo.findings]


def test_gain_map_among_the_pictures_of_one_file(save: Save) -> None:
    gains = Image.fromarray(np.full((40, 60, 3), 90, np.uint8))
    path = save(quadrants(), "photo.mpo", save_all=True, append_images=[gains])
    assert "gain map ignored" not in [finding.check for finding in read_photo(path).findings]
    # As phones mark the second picture, in its own XMP.
    path.write_bytes(path.read_bytes() + b"<auxiliary>urn:x:2020:aux:hdrgainmap</auxiliary>")
    photo = read_photo(path)
    assert "gain map ignored" in [finding.check for finding in photo.findings]
    np.testing.assert_allclose(photo.pixels[20, 20], RED, atol=8)


def test_gain_map_of_a_heic_file(save: Save) -> None:
    """An auxiliary picture (ISO/IEC 23008-12, 6.4.4): the type of an alpha plane written over, of the same length."""
    rgba = np.dstack([quadrants(), np.full((80, 120), 90, np.uint8)])
    path = save(rgba, "photo.heic")
    data = path.read_bytes()
    alpha, gains = b"urn:mpeg:hevc:2015:auxid:1", b"urn:xx:2020:aux:hdrgainmap"
    assert len(alpha) == len(gains)
    assert alpha in data
    path.write_bytes(data.replace(alpha, gains))
    photo = read_photo(path)
    assert "gain map ignored" in [finding.check for finding in photo.findings]
    np.testing.assert_allclose(photo.pixels[20, 20], RED, atol=8)


def test_derived_gain_map_of_a_heic_file_is_known_by_its_brand(save: Save) -> None:
    path = save(quadrants(), "photo.heic")
    data = path.read_bytes()
    assert "gain map ignored" not in [finding.check for finding in read_photo(path).findings]
    path.write_bytes(data[:16] + b"tmap" + data[20:])
    assert "gain map ignored" in [finding.check for finding in read_photo(path).findings]
