"""The root of a covariance that turns nothing: how far and which way one sigma of doubt moves a colour."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray


def symmetric_root(covariance: NDArray[np.floating[Any]]) -> NDArray[np.floating[Any]]:
    """Return the symmetric root of (..., 3, 3): of all roots the one that takes like colours the same way."""
    variances, axes = np.linalg.eigh(covariance)
    return np.asarray((axes * np.sqrt(np.maximum(variances, 0))[..., None, :]) @ axes.swapaxes(-1, -2))
