"""How a covariance moves a colour: its root, and the bounds that lightness keeps."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.floating[Any]]


def spread(covariance: FloatArray) -> FloatArray:
    """The symmetric root of (..., 3, 3): of all roots the one that takes like colours the same way."""
    values, vectors = np.linalg.eigh(covariance)
    return np.asarray((vectors * np.sqrt(np.maximum(values, 0))[..., None, :]) @ vectors.swapaxes(-1, -2))


def within_lightness(lab: FloatArray) -> FloatArray:
    """(..., 3) in single precision, none darker than black or lighter than white: wide doubt reaches beyond both."""
    kept = lab.astype(np.float32)
    kept[..., 0] = kept[..., 0].clip(0, 100)
    return kept
