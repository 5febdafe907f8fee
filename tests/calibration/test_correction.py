"""The matrix between camera and eye: nothing without one, white kept, and slopes as differences give them."""

from __future__ import annotations

import numpy as np
import pytest

from matcher.calibration.correction import (
    _BY_CAST,
    _BY_DAY,
    _BY_LAMP,
    NO_CORRECTION,
    chroma_factor_sd,
    corrected,
    corrected_shift,
    lamp_correction,
    stray_light,
    unknown_camera_correction,
    unknown_camera_sd,
)
from matcher.colorimetry.adaptation import FROM_BRADFORD, WHITE_CONES
from matcher.colorimetry.spaces import Floats

MATRIX = np.array([[1.1, -0.15, 0.05], [0.04, 0.9, 0.06], [-0.1, 0.2, 0.9]])
WITH_ROOTS = np.array(
    [[1.1, -0.1, 0.05, -0.02, 0.0, -0.03], [0.04, 0.8, 0.06, 0.1, 0.02, -0.02], [-0.01, 0.05, 0.95, 0.01, 0.0, 0.0]]
)
WITH_STRAY_LIGHT = np.column_stack([WITH_ROOTS + [[0.02], [0.03], [0.05]] * np.eye(3, 6), [-0.02, -0.03, -0.05]])


def muted_log_cones(dtype: type = float) -> Floats:
    return np.random.default_rng(4).uniform(np.log(0.02), 0.0, (500, 3)).astype(dtype)


@pytest.mark.parametrize("dtype", [np.float32, np.float64])
def test_no_correction_changes_no_bit(dtype: type) -> None:
    cones = muted_log_cones(dtype)
    after = corrected(cones, NO_CORRECTION)
    assert after.dtype == cones.dtype
    assert after.tobytes() == cones.tobytes()
    shift = np.random.default_rng(7).normal(0, 1, (500, 3, 3)).astype(dtype)
    assert corrected_shift(cones, shift, NO_CORRECTION).astype(dtype).tobytes() == shift.tobytes()


@pytest.mark.parametrize("correction", [MATRIX, WITH_ROOTS, WITH_STRAY_LIGHT])
def test_single_precision_stays_and_says_the_same(correction: Floats) -> None:
    """A picture's pixels come so, to take half the memory."""
    cones = muted_log_cones(np.float32)
    after = corrected(cones, correction)
    assert after.dtype == np.float32
    np.testing.assert_allclose(after, corrected(cones.astype(float), correction), atol=1e-4)


def test_white_and_greys_stay_where_they_are() -> None:
    greys = np.log(np.linspace(0.02, 1.0, 20))[:, None] * np.ones(3)
    np.testing.assert_allclose(corrected(greys, MATRIX), greys, atol=1e-12)


def test_roots_keep_white_and_grow_with_light_as_responses_do() -> None:
    """Exposure invariance is what root-polynomials are for (Finlayson, Mackiewicz & Hurlbert 2015)."""
    np.testing.assert_allclose(corrected(np.zeros((1, 3)), WITH_ROOTS), 0.0, atol=1e-12)
    cones = np.log(np.random.default_rng(5).uniform(0.3, 0.9, (40, 3)))
    np.testing.assert_allclose(corrected(cones + 0.7, WITH_ROOTS), corrected(cones, WITH_ROOTS) + 0.7, atol=1e-12)
    a, b, c = np.exp(cones).T
    terms = np.stack([a, b, c, np.sqrt(a * b), np.sqrt(b * c), np.sqrt(a * c)], axis=1)
    np.testing.assert_allclose(np.exp(corrected(cones, WITH_ROOTS)), terms @ WITH_ROOTS.T)


def test_stray_light_comes_off_and_white_stays() -> None:
    np.testing.assert_allclose(corrected(np.zeros((1, 3)), WITH_STRAY_LIGHT), 0.0, atol=1e-12)
    np.testing.assert_array_equal(stray_light(WITH_STRAY_LIGHT), [0.02, 0.03, 0.05])
    for without in (MATRIX, WITH_ROOTS):
        np.testing.assert_array_equal(stray_light(without), [0.0, 0.0, 0.0])
    lone = np.column_stack([np.diag([1.02, 1.03, 1.05]), np.zeros((3, 3)), [-0.02, -0.03, -0.05]])
    black = np.array([[0.03, 0.04, 0.06]])  # what lies over it and 0.01 of its own, both of what white shows
    np.testing.assert_allclose(np.exp(corrected(np.log(black), lone)), [[0.0106, 0.0112, 0.013]], atol=1e-12)


def test_the_matrix_acts_on_responses() -> None:
    cones = np.array([[0.4, 0.35, 0.2]])
    np.testing.assert_allclose(np.exp(corrected(np.log(cones), MATRIX)), cones @ MATRIX.T)


def test_a_response_never_turns_negative() -> None:
    far = np.array([[0.9, 0.001, 0.9]])
    against = np.array([[1.0, 0.0, 0.0], [-0.5, 1.5, 0.0], [0.0, 0.0, 1.0]])
    after = np.exp(corrected(np.log(far), against)) / far
    np.testing.assert_allclose(after, [[1.0, 0.05, 1.0]], rtol=1e-9)  # a twentieth of what was read is left
    shift = np.random.default_rng(8).normal(0, 1, (1, 3, 3))
    assert np.isfinite(corrected_shift(np.log(far), shift, against)).all()


@pytest.mark.parametrize("correction", [MATRIX, WITH_ROOTS, WITH_STRAY_LIGHT])
def test_shifts_follow_the_difference_quotient(correction: Floats) -> None:
    cones = np.log(np.random.default_rng(5).uniform(0.4, 0.9, (40, 3)))
    shift = np.random.default_rng(6).normal(0, 1, (40, 3, 3))
    step = 1e-6
    numeric = (corrected(cones[:, None] + step * shift, correction) - corrected(cones, correction)[:, None]) / step
    np.testing.assert_allclose(corrected_shift(cones, shift, correction), numeric, atol=1e-4)


@pytest.mark.parametrize("lamp", [0.0, 0.4, 1.0])
def test_chroma_put_back_leaves_white_and_luminance_alone(lamp: float) -> None:
    """Luminance is the second row of the matrix from Bradford's cones to XYZ; a raw file's chroma is the sensor's."""
    np.testing.assert_array_equal(unknown_camera_correction(lamp, developed=False), lamp_correction(lamp))
    plain, back = lamp_correction(lamp), unknown_camera_correction(lamp, developed=True)
    np.testing.assert_allclose(back @ np.ones(3), 1, atol=1e-9)
    luminance = (FROM_BRADFORD * WHITE_CONES)[1]
    np.testing.assert_allclose(luminance @ back, luminance @ plain, atol=1e-9)
    # What is left of a colour over the grey of its luminance grows, by one factor whatever the colour.
    cones = np.random.default_rng(6).uniform(0.2, 0.8, (50, 3)).T
    over_grey = [(matrix @ cones) - luminance @ plain @ cones for matrix in (plain, back)]
    factor = over_grey[1] / over_grey[0]
    np.testing.assert_allclose(factor, factor[0, 0], rtol=1e-6)
    assert 1 < factor[0, 0] < 1.3
    assert chroma_factor_sd(developed=True) > 0 == chroma_factor_sd(developed=False)


def test_an_unknown_camera_is_doubted_between_day_and_lamp_and_more_by_a_cast_left_standing() -> None:
    """Half a lamp leaves the mean of both doubts; a cast counts by its size, red or blue, and not without end."""

    def sd(lamp: float, cast: float = 0.0) -> Floats:
        return np.array(unknown_camera_sd(lamp, cast))

    np.testing.assert_allclose(sd(0.25), 0.75 * sd(0.0) + 0.25 * sd(1.0), atol=1e-12)
    np.testing.assert_array_equal(sd(0.5, 0.1), sd(0.5))
    assert unknown_camera_sd(0.5) == unknown_camera_sd(0.5, 0.0)
    # By day what was measured by day, by a lamp what was measured by lamps, and a cast's own part on top.
    np.testing.assert_allclose([sd(0.0), sd(1.0), sd(1.0, 9.0) - sd(1.0)], [_BY_DAY, _BY_LAMP, _BY_CAST])
    np.testing.assert_array_equal(sd(0.5, -1.5), sd(0.5, 1.5))
    np.testing.assert_array_equal(sd(0.5, 50.0), sd(0.5, 500.0))
    # From 0.8 on, wholly from 2.0 on, in a straight line between (measured: tests/benchmarks/reliability.py).
    np.testing.assert_array_equal(sd(0.5, 0.8), sd(0.5))
    np.testing.assert_array_equal(sd(0.5, 2.0), sd(0.5, 50.0))
    np.testing.assert_allclose(sd(0.5, 1.1), 0.75 * sd(0.5) + 0.25 * sd(0.5, 2.0), atol=1e-12)
    for lamp in (0.0, 1.0):
        assert (sd(lamp, 50.0) > sd(lamp, 1.5)).all()
        assert (sd(lamp, 1.5) > sd(lamp)).all()
