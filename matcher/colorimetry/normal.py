"""The normal distribution: how much of it lies below, and numbers spread so evenly that a few stand for many.

On Python's own erfc and quantile: scipy.special has them too, but takes a fifth of a second to import, and every room
needs them.
"""

from __future__ import annotations

from math import erfc, pi, sqrt
from statistics import NormalDist

import numpy as np

from matcher.colorimetry.spaces import Floats

_ROUNDS = 40  # enough for double precision: the error shrinks by the D + 1st part and more a round
_FAR = -10.0  # from here down the series of the tail is good to 1e-6, where erfc would end at -37
_erfc = np.frompyfunc(erfc, 1, 1)
_quantile = np.frompyfunc(NormalDist().inv_cdf, 1, 1)


def normal_below(z: Floats) -> Floats:
    """Return how much of the standard normal distribution lies below ``z`` (...)."""
    return np.asarray(0.5 * _erfc(-z / sqrt(2)).astype(float))


def log_normal_below(z: Floats) -> Floats:
    """Return the logarithm of that, also far out (Abramowitz & Stegun 1964, 26.2.12)."""
    near = np.log(normal_below(np.maximum(z, _FAR)))
    far = np.minimum(z, _FAR)
    inverse = far**-2.0
    series = 1 - inverse * (1 - 3 * inverse * (1 - 5 * inverse))
    tail = -0.5 * far**2 - np.log(-far) - 0.5 * np.log(2 * pi) + np.log(series)
    return np.asarray(np.where(z > _FAR, near, tail))


def even_normals(count: int, shift: Floats) -> Floats:
    """Return (count, ..., D) standard normal numbers, each with its mirror image; ``shift`` (..., D), 0..1, tells
    sequences apart.

    By the additive recurrence of M. Roberts 2018 in D dimensions: steps of the powers of the root of x^(D+1) = x + 1.
    """
    dimensions = shift.shape[-1]
    root = 2.0
    for _ in range(_ROUNDS):
        root = (1 + root) ** (1 / (dimensions + 1))
    half = np.arange(1, count // 2 + 1).reshape(-1, *[1] * shift.ndim)
    spread = (half * root ** -np.arange(1.0, dimensions + 1) + shift) % 1
    normal: Floats = np.asarray(_quantile(spread), dtype=float)
    return np.concatenate([normal, -normal])
