"""How white a near-white is: the CIE whiteness formula, for telling which of two whites looks the less white."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from matcher.colorimetry.spaces import WHITE_D65, lab_to_xyz

FloatArray = NDArray[np.floating[Any]]

# CIE 15:2004, 9.2.2, 2 degree observer. W = 100 for the perfect diffuser.
_WEIGHT_X, _WEIGHT_Y = 800.0, 1700.0


def whiteness(lab: ArrayLike) -> FloatArray:
    """W of CIELAB D65 colours (..., 3): 100 for a perfect white, less for what is darker or yellower, more for what is
    bluish. Meant for whites: 40 < W < 5 Y - 280; below it only the order tells something.

    >>> [round(float(w), 1) for w in whiteness([[95, 0, 0], [95, 0, 2]])]
    [87.6, 78.5]
    """
    xyz = lab_to_xyz(np.asarray(lab, dtype=np.float64))
    x, y = (xyz[..., axis] / xyz.sum(axis=-1) for axis in (0, 1))
    white = np.asarray(WHITE_D65)
    x_n, y_n = (float(white[axis] / white.sum()) for axis in (0, 1))
    return np.asarray(100 * xyz[..., 1] + _WEIGHT_X * (x_n - x) + _WEIGHT_Y * (y_n - y))
