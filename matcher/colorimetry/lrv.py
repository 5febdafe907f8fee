"""Light reflectance value: CIE Y of the surface on a scale of 0 to 100.

BS 8493:2008+A1:2010 is the test method. It measures with the 10 degree observer; here it is the 2 degree Y, which
differs by 1.1 points at most on muted Munsell chips, so LRV is shown in whole points.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from matcher.colorimetry.spaces import Floats, as_floats

# CIE 015:2018: below L* = 8 (Y = 0.8856) lightness is linear in Y, slope (29/3)^3 / 100.
_LINEAR_LIMIT_LIGHTNESS = 8.0
_LINEAR_SLOPE = (29 / 3) ** 3 / 100


def lrv(lab: ArrayLike) -> Floats:
    """Return LRV, shape (...), of CIELAB ``(..., 3)``.

    >>> round(float(lrv([76.0, 1.0, 6.0])), 3)
    49.887
    """
    lightness = as_floats(lab)[..., 0]
    cube = ((lightness + 16) / 116) ** 3 * 100
    return np.where(lightness > _LINEAR_LIMIT_LIGHTNESS, cube, lightness / lightness.dtype.type(_LINEAR_SLOPE))[()]


def lightness_from_lrv(value: ArrayLike) -> Floats:
    """Return L* of an LRV of 0..100, the inverse of :func:`lrv`."""
    value = as_floats(value)
    linear = value * value.dtype.type(_LINEAR_SLOPE)
    return np.where(linear > _LINEAR_LIMIT_LIGHTNESS, 116 * np.cbrt(value / 100) - 16, linear)[()]
