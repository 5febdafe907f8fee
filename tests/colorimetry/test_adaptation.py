"""Chromatic adaptation against published matrices and corresponding colours."""

from __future__ import annotations

import numpy as np

from matcher.colorimetry.adaptation import BRADFORD, CAT16, adapt
from matcher.colorimetry.colour_library import colour_library
from matcher.colorimetry.spaces import WHITE_D65

WHITE_A = [1.09850, 1.0, 0.35585]  # ASTM E308, 2 degrees


def from_chromaticity(x: float, y: float) -> list[float]:
    return [x / y, 1.0, (1 - x - y) / y]


def test_bradford_d65_to_d50_css_color_4_sample_code_matrix() -> None:
    # W3C CSS Color Module Level 4, sample code, seven decimals, from memory; made with the inverse
    # matrix rounded to seven digits too, hence the last place.
    printed = [
        [1.0479298, 0.0229468, -0.0501922],
        [0.0296278, 0.9904345, -0.0170738],
        [-0.0092430, 0.0150552, 0.7518743],
    ]
    white_d65, white_d50 = from_chromaticity(0.3127, 0.3290), from_chromaticity(0.3457, 0.3585)
    np.testing.assert_allclose(adapt(np.eye(3), white_d65, white_d50).T, printed, rtol=0, atol=1e-7)


def test_cat16_and_bradford_a_to_d65_agree_with_two_libraries() -> None:
    # XYZ 43, 45, 30 under A to D65 (x, y = 0.31271, 0.32902), D = 1, as computed alike by colour-science 0.4.7 and
    # luxpy 1.12; five digits.
    xyz = np.array([0.43, 0.45, 0.30])
    white_d65 = from_chromaticity(0.31271, 0.32902)
    np.testing.assert_allclose(adapt(xyz, WHITE_A, white_d65, CAT16), [0.40330, 0.45003, 0.8836], rtol=0, atol=5e-5)
    np.testing.assert_allclose(adapt(xyz, WHITE_A, white_d65, BRADFORD), [0.42859, 0.47686, 0.9314], rtol=0, atol=5e-5)


def test_bradford_agrees_with_colour_science_over_a_random_grid() -> None:
    # Imported so first, which silences the notice that matplotlib is absent.
    colour_library()
    import colour.adaptation

    xyz = np.random.default_rng(5).uniform(0, 1, (50, 3))
    theirs = colour.adaptation.chromatic_adaptation_VonKries(xyz, WHITE_A, WHITE_D65, transform="Bradford")
    # Its matrix inverse is computed, as ours is.
    np.testing.assert_allclose(adapt(xyz, WHITE_A, WHITE_D65), theirs, rtol=0, atol=1e-9)


def test_white_goes_to_white_and_there_and_back_is_no_change() -> None:
    xyz = np.random.default_rng(1).uniform(0, 1, (4, 5, 3))
    for matrix in (BRADFORD, CAT16):
        np.testing.assert_allclose(adapt(WHITE_A, WHITE_A, WHITE_D65, matrix), WHITE_D65, atol=1e-12)
        there = adapt(xyz, WHITE_A, WHITE_D65, matrix)
        np.testing.assert_allclose(adapt(there, WHITE_D65, WHITE_A, matrix), xyz, atol=1e-12)


def test_a_white_per_pixel_broadcasts_and_float32_is_kept() -> None:
    xyz = np.full((2, 3, 3), 0.3, dtype=np.float32)
    whites = np.broadcast_to(np.asarray(WHITE_A, dtype=np.float32), (2, 3, 3))
    result = adapt(xyz, whites, WHITE_D65)
    assert result.shape == (2, 3, 3)
    assert result.dtype == np.float32
