"""Colours drawn within their doubt: the numbers to draw by, and the bounds that lightness keeps."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.floating[Any]]
_GOLDEN = 1.2207440846  # root of x^4 = x + 1


def within_lightness(lab: FloatArray) -> FloatArray:
    """(..., 3) in single precision, none darker than black or lighter than white: wide doubt reaches beyond both."""
    kept = lab.astype(np.float32)
    kept[..., 0] = kept[..., 0].clip(0, 100)
    return kept


def even_normals(count: int, shift: FloatArray) -> FloatArray:
    """(count, ..., 3) normal numbers, each with its mirror image; ``shift`` (..., 3), 0..1, tells sequences apart.

    Evenly spread by the additive recurrence of Roberts 2018 in three dimensions: a few stand for many random ones.
    """
    from scipy.special import ndtri

    half = np.arange(1, count // 2 + 1).reshape(-1, *[1] * shift.ndim)
    normal = ndtri((half * _GOLDEN ** -np.arange(1.0, 4.0) + shift) % 1)
    return np.concatenate([normal, -normal])
