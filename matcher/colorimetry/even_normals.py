"""Normal numbers spread so evenly that a few stand for many random ones."""

from __future__ import annotations

import numpy as np
from scipy.special import ndtri

from matcher.colorimetry.spaces import Floats

_ROUNDS = 40  # enough for double precision: the error shrinks by the D + 1st part and more a round


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
    normal = ndtri((half * root ** -np.arange(1.0, dimensions + 1) + shift) % 1)
    return np.concatenate([normal, -normal])
