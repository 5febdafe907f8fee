"""The symmetric root against scipy's."""

from __future__ import annotations

import numpy as np
from scipy.linalg import sqrtm

from matcher.colorimetry.symmetric_root import symmetric_root


def test_one_covariance_and_many_have_the_roots_that_scipy_finds() -> None:
    half = np.random.default_rng(3).standard_normal((2, 4, 3, 3))
    covariances = half @ half.swapaxes(-1, -2)
    roots = symmetric_root(covariances)
    for at in np.ndindex(2, 4):
        np.testing.assert_allclose(roots[at], sqrtm(covariances[at]).real, atol=1e-9)
        np.testing.assert_allclose(symmetric_root(covariances[at]), roots[at], atol=1e-12)


def test_what_rounding_made_of_nought_has_no_root() -> None:
    flat = np.diag([4.0, 0.0, -1e-15])
    np.testing.assert_allclose(symmetric_root(flat), np.diag([2.0, 0.0, 0.0]), atol=1e-12)
