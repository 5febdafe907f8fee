"""The matrix between camera and eye: nothing without one, white kept, and slopes as differences give them."""

from __future__ import annotations

import numpy as np
import pytest

from matcher.calibration.correction import NO_CORRECTION, corrected, corrected_shift
from matcher.colorimetry.spaces import Floats

MATRIX = np.array([[1.1, -0.15, 0.05], [0.04, 0.9, 0.06], [-0.1, 0.2, 0.9]])


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


def test_white_and_greys_stay_where_they_are() -> None:
    greys = np.log(np.linspace(0.02, 1.0, 20))[:, None] * np.ones(3)
    np.testing.assert_allclose(corrected(greys, MATRIX), greys, atol=1e-12)


def test_the_matrix_acts_on_responses() -> None:
    cones = np.array([[0.4, 0.35, 0.2]])
    np.testing.assert_allclose(np.exp(corrected(np.log(cones), MATRIX)), cones @ MATRIX.T)


def test_a_response_never_turns_negative() -> None:
    far = np.array([[0.9, 0.001, 0.9]])
    against = np.array([[1.0, 0.0, 0.0], [-0.5, 1.5, 0.0], [0.0, 0.0, 1.0]])
    assert np.isfinite(corrected(np.log(far), against)).all()


def test_shifts_follow_the_difference_quotient() -> None:
    cones = np.log(np.random.default_rng(5).uniform(0.4, 0.9, (40, 3)))
    shift = np.random.default_rng(6).normal(0, 1, (40, 3, 3))
    step = 1e-6
    numeric = (corrected(cones[:, None] + step * shift, MATRIX) - corrected(cones, MATRIX)[:, None]) / step
    np.testing.assert_allclose(corrected_shift(cones, shift, MATRIX), numeric, atol=1e-4)
