"""CIELAB and sRGB against the standards' constants and an independent library."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from coloraide import Color
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import ArrayLike

from matcher.colorimetry import spaces

FINITE = st.floats(-200, 200, allow_nan=False)


@pytest.mark.parametrize(
    ("encoded", "linear"),
    [
        (0.0, 0.0),
        (0.04045, 0.04045 / 12.92),  # IEC 61966-2-1: the linear part's end
        (0.5, ((0.5 + 0.055) / 1.055) ** 2.4),
        (1.0, 1.0),
    ],
)
def test_srgb_transfer_iec_61966_2_1(encoded: float, linear: float) -> None:
    assert spaces.srgb_decode(encoded) == pytest.approx(linear, abs=1e-12)
    assert spaces.srgb_encode(linear) == pytest.approx(encoded, abs=1e-7)


def test_linear_srgb_to_xyz_iec_61966_2_1_matrix() -> None:
    # The standard prints four decimals.
    printed = [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
    rows = spaces.linear_srgb_to_xyz(np.eye(3)).T
    # Its Z of blue is rounded to another white (0.1890 against 0.1888 in sum): one unit of the last place.
    np.testing.assert_allclose(rows, printed, rtol=0, atol=2.1e-4)


def test_white_is_lab_100_and_greys_have_no_chroma() -> None:
    greys = spaces.xyz_to_lab(spaces.linear_srgb_to_xyz(np.linspace(0, 1, 101)[:, None] * np.ones(3)))
    np.testing.assert_allclose(greys[:, 1:], 0, atol=1e-10)
    assert greys[-1, 0] == pytest.approx(100, abs=1e-12)


def test_xyz_to_lab_agrees_with_coloraide_over_a_random_grid() -> None:
    rng = np.random.default_rng(11)
    xyz = rng.uniform(0, 1, (300, 3)) * spaces.WHITE_D65
    xyz[200:] *= 0.008  # the linear toe
    theirs = []
    for values in xyz:
        # Its white is x, y = 0.31270, 0.32900; scaling to ours leaves the ratio to white, which is all that counts.
        white = np.array([0.31270 / 0.32900, 1, (1 - 0.31270 - 0.32900) / 0.32900])
        theirs.append(Color("xyz-d65", list(values / spaces.WHITE_D65 * white)).convert("lab-d65").coords())
    np.testing.assert_allclose(spaces.xyz_to_lab(xyz), theirs, rtol=0, atol=1e-9)


def test_hex_to_lab_agrees_with_coloraide() -> None:
    for text in ("#808080", "#c2bab0", "#C2BAB0", "#0a141e", "#ff0000", "#8899aa", "#FFeeDD"):
        theirs = Color(text).convert("lab-d65").coords()
        # The two D65 whites differ in the fifth digit.
        np.testing.assert_allclose(spaces.hex_to_lab(text), theirs, rtol=0, atol=0.02)


@given(st.tuples(st.floats(0, 100), FINITE, FINITE))
def test_lab_round_trips_through_xyz_and_lch(lab: tuple[float, float, float]) -> None:
    np.testing.assert_allclose(spaces.xyz_to_lab(spaces.lab_to_xyz(lab)), lab, rtol=0, atol=1e-7)
    lch = spaces.lab_to_lch(lab)
    assert 0 <= lch[2] < 360
    np.testing.assert_allclose(spaces.lch_to_lab(lch), lab, rtol=0, atol=1e-9)


def test_lab_of_the_darkest_round_trips_where_the_cube_root_gives_way_to_a_line() -> None:
    """At L* = 8 for greys (CIE 015:2018: f = 6/29); a*, b* move X and Z across it."""
    labs = np.stack(np.meshgrid(np.linspace(0, 12, 97), [-8.0, 0.0, 8.0], [-3.0, 0.0, 3.0]), axis=-1).reshape(-1, 3)
    np.testing.assert_allclose(spaces.xyz_to_lab(spaces.lab_to_xyz(labs)), labs, rtol=0, atol=1e-10)


def test_a_hue_a_hair_below_nought_is_nought() -> None:
    """Modulo 360 it would round to 360, which is outside [0, 360)."""
    assert float(spaces.lab_to_lch([50.0, 1.0, -1e-20])[2]) == 0


@given(st.integers(0, 0xFFFFFF))
def test_hex_round_trips(number: int) -> None:
    text = f"#{number:06x}"
    assert spaces.lab_to_hex(spaces.hex_to_lab(text)) == text


@pytest.mark.parametrize("text", ["", "#12345", "#1234567", "#12 456", "#gggggg", "#XX8080", "#12345\u0663", "red"])
def test_malformed_hex_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="#rrggbb"):
        spaces.hex_to_lab(text)


def test_out_of_gamut_colours_are_clipped_to_a_valid_hex() -> None:
    assert spaces.labs_to_hex([[50, 200, -200], [120, 0, 0], [-5, 0, 0]])[1:] == ["#ffffff", "#000000"]


@pytest.mark.parametrize(
    "function",
    [
        spaces.xyz_to_lab,
        spaces.lab_to_xyz,
        spaces.lab_to_lch,
        spaces.lch_to_lab,
        spaces.srgb_decode,
        spaces.srgb_encode,
        spaces.linear_srgb_to_xyz,
        spaces.xyz_to_linear_srgb,
    ],
)
def test_shape_and_dtype_are_kept_and_nan_passes_through(function: Callable[[ArrayLike], spaces.Floats]) -> None:
    values = np.full((4, 5, 3), 0.25, dtype=np.float32)
    values[1, 2] = np.nan
    result = function(values)
    assert result.shape == values.shape
    assert result.dtype == np.float32
    assert np.isnan(result[1, 2]).all()
    assert np.isfinite(np.delete(result.reshape(-1, 3), 7, axis=0)).all()


def test_every_file_value_is_decoded_as_coloraide_does_and_back() -> None:
    """All 256 values and, where the straight piece ends (IEC 61966-2-1), a finer row of them."""
    values = np.concatenate([np.arange(256) / 255, np.linspace(0.035, 0.06, 101)])
    theirs = np.array([Color("srgb", [value] * 3).convert("srgb-linear")["r"] for value in values])
    np.testing.assert_allclose(spaces.srgb_decode(values), theirs, rtol=0, atol=1e-12)
    back = np.array([Color("srgb-linear", [value] * 3).convert("srgb")["r"] for value in theirs])
    np.testing.assert_allclose(spaces.srgb_encode(theirs), back, rtol=0, atol=1e-12)
