"""The normal distribution against scipy's; evenly spread normal numbers by their moments."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.special import log_ndtr, ndtr
from scipy.stats import kstest, norm

from matcher.colorimetry.normal import even_normals, log_normal_below, normal_below


@pytest.mark.parametrize("dimensions", [1, 3, 5])
def test_every_axis_is_normal_and_the_mean_is_0(dimensions: int) -> None:
    numbers = even_normals(256, np.full(dimensions, 0.5))
    assert numbers.shape == (256, dimensions)
    np.testing.assert_allclose(numbers.mean(axis=0), 0, atol=1e-12)
    for axis in numbers.T:
        # Random ones are this near in one of a million samples.
        assert kstest(axis, norm.cdf).statistic < 0.02
    np.testing.assert_allclose(np.cov(numbers.T).reshape(dimensions, dimensions), np.eye(dimensions), atol=0.15)


@pytest.mark.parametrize("dimensions", [1, 2, 5])
def test_the_sequence_is_roberts_s(dimensions: int) -> None:
    """Roberts 2018: the n-th point is (shift + n / phi^k) mod 1 on axis k, phi the root of x^(D + 1) = x + 1."""
    phi = brentq(lambda x: x ** (dimensions + 1) - x - 1, 1, 2, xtol=1e-15)
    shift = np.linspace(0.1, 0.4, dimensions)
    found = ndtr(even_normals(40, shift))
    for n in range(1, 21):
        np.testing.assert_allclose(found[n - 1], (shift + n / phi ** np.arange(1, dimensions + 1)) % 1, atol=1e-9)
    np.testing.assert_allclose(found[20:], 1 - found[:20], atol=1e-12)


def test_shifts_tell_sequences_apart() -> None:
    one, other = even_normals(64, np.array([[0.1, 0.2, 0.3], [0.6, 0.7, 0.8]])).swapaxes(0, 1)
    assert np.abs(one - other).max() > 0.1


def test_what_lies_below_is_that_of_scipy() -> None:
    z = np.linspace(-60, 12, 500)
    np.testing.assert_allclose(normal_below(z[z > -30]), ndtr(z[z > -30]), rtol=1e-12)
    np.testing.assert_allclose(log_normal_below(z), log_ndtr(z), rtol=1e-12, atol=1.5e-6)
