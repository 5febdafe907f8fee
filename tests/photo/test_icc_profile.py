"""Embedded profiles against IEC 61966-2-1, Display P3 and Adobe RGB (1998) as colour-science carries them."""

from __future__ import annotations

import struct

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from PIL import Image, ImageCms

from matcher.photo.colour_space import adobe_rgb, display_p3, srgb
from matcher.photo.icc_profile import NoMatrixProfileError, colour_space_from_icc
from matcher.photo.reading import read_photo
from tests.photo.conftest import Save, quadrants

Floats = NDArray[np.float64]
D50 = np.array([0.9642, 1.0, 0.8249])  # ICC.1:2022, 7.2.16
D65 = np.array([0.95047, 1.0, 1.08883])

# The specifications give D65 as x 0.3127, y 0.3290, which is Z = 1.0891; the project's white is CIE's Z = 1.08883.
WHITE_ROUNDING = 2.5e-4

# IEC 61966-2-1:1999, equation 7, as printed (four decimals).
IEC_SRGB_TO_XYZ = [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]


def library_space(name: str) -> tuple[Floats, Floats]:
    """Matrix and 4096-step decode of an RGB space from colour-science, an independent library."""
    import warnings

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # its notice that matplotlib, which is not used, is absent
        import colour

        space = colour.RGB_COLOURSPACES[name]
        return np.asarray(space.matrix_RGB_to_XYZ), np.asarray(space.cctf_decoding(np.linspace(0, 1, 4096)))


def _lcms_srgb() -> bytes:
    """The sRGB profile that the Little CMS library builds."""
    return ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()


def _s15(values: Floats) -> bytes:
    return struct.pack(f">{len(values)}i", *(round(value * 65536) for value in values))


def icc_profile(tags: dict[bytes, bytes], *, space: bytes = b"RGB ", connection: bytes = b"XYZ ") -> bytes:
    """An ICC profile of ``tags``, laid out as ICC.1:2022 clause 7 says."""
    table, body = b"", b""
    start = 128 + 4 + 12 * len(tags)
    for signature, content in tags.items():
        table += signature + struct.pack(">II", start + len(body), len(content))
        body += content + b"\0" * (-len(content) % 4)
    size = start + len(body)
    header = struct.pack(">I4sI4s4s4s12x4s", size, b"none", 0x02400000, b"mntr", space, connection, b"acsp")
    header = header.ljust(68, b"\0") + _s15(D50)
    return header.ljust(128, b"\0") + struct.pack(">I", len(tags)) + table + body


def matrix_tags(to_xyz_d65: Floats, curve: bytes) -> dict[bytes, bytes]:
    from colour.adaptation import matrix_chromatic_adaptation_VonKries

    columns = matrix_chromatic_adaptation_VonKries(D65, D50, transform="Bradford") @ to_xyz_d65
    tags = {tag: b"XYZ \0\0\0\0" + _s15(columns[:, i]) for i, tag in enumerate((b"rXYZ", b"gXYZ", b"bXYZ"))}
    return tags | dict.fromkeys((b"rTRC", b"gTRC", b"bTRC"), curve)


def _para(kind: int, *values: float) -> bytes:
    return b"para\0\0\0\0" + struct.pack(">HH", kind, 0) + _s15(np.array(values))


SRGB_CURVE = _para(3, 2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045)


def test_srgb_matrix_iec_61966_2_1() -> None:
    np.testing.assert_allclose(srgb().to_xyz, IEC_SRGB_TO_XYZ, atol=WHITE_ROUNDING)


@pytest.mark.parametrize(
    ("space", "name"), [(srgb, "sRGB"), (display_p3, "Display P3"), (adobe_rgb, "Adobe RGB (1998)")]
)
def test_named_spaces_against_colour_science(space, name: str) -> None:  # type: ignore[no-untyped-def]  # a cached function
    matrix, decode = library_space(name)
    np.testing.assert_allclose(space().to_xyz, matrix, atol=WHITE_ROUNDING)
    np.testing.assert_allclose(space().decode_table, decode, atol=1e-5)


def test_srgb_profile_of_little_cms_iec_61966_2_1() -> None:
    space = colour_space_from_icc(_lcms_srgb())
    assert space.name == "sRGB"
    np.testing.assert_allclose(space.to_xyz, IEC_SRGB_TO_XYZ, atol=3e-4)
    np.testing.assert_allclose(space.decode_table, library_space("sRGB")[1], atol=1e-4)


def test_display_p3_profile_against_colour_science() -> None:
    matrix, decode = library_space("Display P3")
    space = colour_space_from_icc(icc_profile(matrix_tags(matrix, SRGB_CURVE)))
    assert space.name == "Display P3"
    np.testing.assert_allclose(space.to_xyz, matrix, atol=2e-4)
    np.testing.assert_allclose(space.decode_table, decode, atol=1e-4)


def test_adobe_rgb_profile_with_a_plain_gamma_against_colour_science() -> None:
    matrix, decode = library_space("Adobe RGB (1998)")
    gamma = b"curv\0\0\0\0" + struct.pack(">IH", 1, 0x0233)  # 2 + 51/256, Adobe RGB (1998) encoding, 4.3.4.2
    space = colour_space_from_icc(icc_profile(matrix_tags(matrix, gamma)))
    assert space.name == "Adobe RGB (1998)"
    np.testing.assert_allclose(space.decode_table, decode, atol=1e-5)


def test_unnamed_space_keeps_its_own_numbers() -> None:
    matrix, _ = library_space("ProPhoto RGB")
    matrix = np.asarray(matrix) * (D65 / matrix.sum(axis=1))[:, None]
    space = colour_space_from_icc(icc_profile(matrix_tags(matrix, _para(0, 1.8))))
    assert space.name == "RGB space of the embedded profile"
    np.testing.assert_allclose(space.to_xyz, matrix, atol=3e-4)
    np.testing.assert_allclose(space.decode_table, np.linspace(0, 1, 4096) ** 1.8, atol=1e-5)


@pytest.mark.parametrize(
    ("curve", "expected"),
    [
        (b"curv\0\0\0\0" + struct.pack(">I", 0), lambda x: x),
        (b"curv\0\0\0\0" + struct.pack(">I3H", 3, 0, 16384, 65535), lambda x: np.interp(x, [0, 0.5, 1], [0, 0.25, 1])),
        (_para(0, 2.2), lambda x: x**2.2),
        (_para(1, 2.0, 1.1, -0.1), lambda x: np.where(x >= 0.1 / 1.1, np.maximum(1.1 * x - 0.1, 0) ** 2, 0)),
        (_para(2, 2.0, 0.9, 0.0, 0.19), lambda x: (0.9 * x) ** 2 + 0.19),
        (SRGB_CURVE, lambda x: np.where(x >= 0.04045, ((x + 0.055) / 1.055) ** 2.4, x / 12.92)),
        (_para(4, 2.0, 1.0, 0.0, 0.1, 0.1, 0.0, 0.0), lambda x: np.where(x >= 0.1, x**2, 0.1 * x)),
    ],
)
def test_every_curve_type_of_icc_1_2022(curve: bytes, expected) -> None:  # type: ignore[no-untyped-def]  # lambdas
    space = colour_space_from_icc(icc_profile(matrix_tags(library_space("sRGB")[0], curve)))
    np.testing.assert_allclose(space.decode_table, expected(np.linspace(0, 1, 4096)), atol=1e-4)


def test_profile_is_honoured_and_pixels_stay_as_they_are(save: Save) -> None:
    matrix, _ = library_space("Display P3")
    icc = icc_profile(matrix_tags(matrix, SRGB_CURVE))
    for name in ("photo.jpg", "photo.png", "photo.webp", "photo.tif", "photo.heic"):
        plain, tagged = read_photo(save(quadrants(), name)), read_photo(save(quadrants(), name, icc_profile=icc))
        np.testing.assert_array_equal(plain.pixels, tagged.pixels)
        assert plain.colour_space.name == "sRGB"
        assert tagged.colour_space.name == "Display P3"
        assert (tagged.findings[0].check, tagged.findings[0].level) == ("colour profile", "ok")


def _lut_profile(to_xyz_d50: Floats) -> bytes:
    """A lookup-table profile (lut16Type, ICC.1:2022, 10.10): one cell, its corners sums of the primaries."""
    corners = np.array([[r, g, b] for r in (0, 1) for g in (0, 1) for b in (0, 1)]) @ to_xyz_d50.T
    clut = np.clip(np.round(corners * 32768), 0, 65535).astype(">u2").tobytes()
    ramp = struct.pack(">2H", 0, 65535)
    head = b"mft2\0\0\0\0" + bytes((3, 3, 2, 0)) + _s15(np.eye(3).ravel()) + struct.pack(">2H", 2, 2)
    description = b"desc\0\0\0\0" + struct.pack(">I", 2) + b"x\0" + b"\0" * 78
    return icc_profile(
        {b"desc": description, b"wtpt": b"XYZ \0\0\0\0" + _s15(D50), b"A2B0": head + ramp * 3 + clut + ramp * 3}
    )


def test_lookup_table_profile_is_converted_to_srgb_and_said(save: Save) -> None:
    # Red and green primaries swapped: after conversion the red quadrant has to be green.
    from colour.adaptation import matrix_chromatic_adaptation_VonKries

    to_d50 = matrix_chromatic_adaptation_VonKries(D65, D50, transform="Bradford") @ np.array(IEC_SRGB_TO_XYZ)
    photo = read_photo(save(quadrants(), "photo.png", icc_profile=_lut_profile(to_d50[:, [1, 0, 2]])))
    assert photo.colour_space.name == "sRGB"
    assert dict(photo.findings[0].values)["source"] == "converted from an unusual profile"
    red, green, _ = (int(value) for value in photo.pixels[20, 30])
    assert green > red + 80


def test_damaged_profile_is_warned_about_and_read_as_srgb(save: Save) -> None:
    photo = read_photo(save(quadrants(), "photo.jpg", icc_profile=_lcms_srgb()[:200]))
    assert photo.colour_space.name == "sRGB"
    assert (photo.findings[0].level, dict(photo.findings[0].values)["source"]) == ("warn", "unreadable profile")


@pytest.mark.parametrize(
    ("name", "level", "source"), [("photo.jpg", "note", "assumed"), ("photo.png", "warn", "unknown")]
)
def test_no_profile_is_said(save: Save, name: str, level: str, source: str) -> None:
    finding = read_photo(save(quadrants(), name)).findings[0]
    assert (finding.level, dict(finding.values)) == (level, {"name": "sRGB", "source": source})


@pytest.mark.parametrize(
    ("colour_space", "interoperability", "expected"),
    [
        (1, "R98", ("sRGB", "camera tag")),
        (65535, None, ("sRGB", "unknown")),
        (65535, "R03", ("Adobe RGB (1998)", "camera tag")),
    ],
)
def test_exif_colour_space_dcf_2_0(
    save: Save, colour_space: int, interoperability: str | None, expected: tuple[str, str]
) -> None:
    exif = Image.Exif()
    exif.get_ifd(0x8769)[0xA001] = colour_space
    if interoperability:
        exif.get_ifd(0x8769)[0xA005] = {1: interoperability}
    finding = read_photo(save(quadrants(), "photo.jpg", exif=exif)).findings[0]
    assert (dict(finding.values)["name"], dict(finding.values)["source"]) == expected


@settings(max_examples=200, deadline=None)
@given(at=st.integers(0, 600), new=st.binary(min_size=1, max_size=8))
def test_damaged_profiles_give_a_space_or_the_one_error(at: int, new: bytes) -> None:
    profile = icc_profile(matrix_tags(np.array(IEC_SRGB_TO_XYZ), SRGB_CURVE))
    at = min(at, len(profile))
    try:
        space = colour_space_from_icc(profile[:at] + new + profile[at + len(new) :])
    except NoMatrixProfileError:
        return
    assert np.isfinite(space.to_xyz).all()
    assert ((space.decode_table >= 0) & (space.decode_table <= 1)).all()
