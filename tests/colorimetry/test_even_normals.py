"""Evenly spread normal numbers, against scipy.stats: moments, and how well a mean over few stands for the true one."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import kstest, norm

from matcher.colorimetry.even_normals import even_normals


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
