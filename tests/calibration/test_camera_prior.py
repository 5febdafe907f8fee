"""What is believed of a camera has the shape that it is said to have: two directions, and a rest all round."""

from __future__ import annotations

import numpy as np
import pytest

from matcher.calibration.camera_prior import weights_prior

TERMS = 7  # three responses, three roots, a constant
OWN, CONSTANT = np.arange(3) * TERMS + np.arange(3), np.arange(3) * TERMS + TERMS - 1
BY_ROW = np.setdiff1d(np.arange(3 * TERMS), [*OWN, *CONSTANT])


def test_two_directions_at_right_angles_are_wider_than_the_rest() -> None:
    """They are principal components, rounded to 0.005 in each weight: so the spectral theorem holds to some of that."""
    _, covariance = weights_prior()
    np.testing.assert_array_equal(covariance, covariance.T)
    variances, directions = np.linalg.eigh(covariance[np.ix_(BY_ROW, BY_ROW)])
    np.testing.assert_allclose(np.sqrt(variances[:-2]), 0.15, rtol=1e-9)  # assumption, stated in the module
    second, widest = directions[:, -2:].T * np.sqrt(variances[-2:, None] - 0.15**2)
    assert np.linalg.norm(widest) > 1.5 * np.linalg.norm(second) > 3 * 0.15
    for found in (widest, second):  # numbers of two digits, as they stand there
        np.testing.assert_allclose(np.abs(found), np.abs(found).round(2), atol=0.002)


def test_own_weights_and_stray_light_go_with_no_direction() -> None:
    """A response's own weight is what the others leave of 1; light in the lens is no doing of the sensor."""
    mean, covariance = weights_prior()
    np.testing.assert_array_equal(mean.ravel()[[*OWN, *CONSTANT]], 0)
    for alone, sd in ((OWN, 0.15), (CONSTANT, 0.02)):  # assumptions, stated in the module
        np.testing.assert_allclose(covariance[alone], np.eye(3 * TERMS)[alone] * sd**2, rtol=1e-12)


def test_what_is_kept_for_all_is_changed_by_none() -> None:
    for array in weights_prior():
        with pytest.raises(ValueError, match="read-only"):
            array[0, 0] = 1.0
