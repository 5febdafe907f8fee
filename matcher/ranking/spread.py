"""The bounds that lightness keeps where colours are drawn within their doubt."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.floating[Any]]


def within_lightness(lab: FloatArray) -> FloatArray:
    """(..., 3) in single precision, none darker than black or lighter than white: wide doubt reaches beyond both."""
    kept = lab.astype(np.float32)
    kept[..., 0] = kept[..., 0].clip(0, 100)
    return kept
