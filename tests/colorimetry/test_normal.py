"""The normal distribution against scipy's; evenly spread normal numbers by their moments."""

from __future__ import annotations

import numpy as np
import pytest
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


def test_shifts_tell_sequences_apart() -> None:
    one, other = even_normals(64, np.array([[0.1, 0.2, 0.3], [0.6, 0.7, 0.8]])).swapaxes(0, 1)
    assert np.abs(one - other).max() > 0.1


def test_what_lies_below_is_that_of_scipy() -> None:
    z = np.linspace(-60, 12, 500)
    np.testing.assert_allclose(normal_below(z[z > -30]), ndtr(z[z > -30]), rtol=1e-12)
    np.testing.assert_allclose(log_normal_below(z), log_ndtr(z), rtol=1e-6, atol=1e-12)
