"""Correlated colour temperature of a light."""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import ArrayLike

from matcher.colorimetry.illuminants import SECOND_RADIATION_NM_K, observer_fine
from matcher.colorimetry.spaces import Floats, as_floats

# The locus every tenth of a mired (1e6 / K) from 1000 to 100,000 K: a parabola through three distances then leaves less
# than 0.1 K.
_MIREDS = np.arange(10.0, 1000.1, 0.1)


def correlated_kelvin(white: ArrayLike) -> float:
    """Return the correlated colour temperature, kelvin, of a light with that white, XYZ (3,).

    It is that of the black body nearest in CIE 1960 u, v (CIE 015:2018 sec. 9.5); held to 1000..100,000 K.

    >>> round(correlated_kelvin([1.0985, 1.0, 0.35585]))
    2856
    """
    distance = ((_locus() - _uv(as_floats(white))) ** 2).sum(axis=1)
    at = int(np.clip(np.argmin(distance), 1, len(_MIREDS) - 2))
    before, here, after = distance[at - 1 : at + 2]
    curvature = before - 2 * here + after
    off = float(np.clip((before - after) / (2 * curvature), -1, 1)) if curvature > 0 else 0.0
    return 1e6 / float(_MIREDS[at] + off * (_MIREDS[1] - _MIREDS[0]))


@cache
def _locus() -> Floats:
    """Return u, v (N, 2) of black bodies at the mireds above (Planck's law)."""
    nm, observer = observer_fine()
    power = nm**-5 / np.expm1(SECOND_RADIATION_NM_K * _MIREDS[:, None] * 1e-6 / nm)
    return _uv(power @ observer)


def _uv(xyz: Floats) -> Floats:
    x, y, z = np.moveaxis(xyz, -1, 0)
    total = x + 15 * y + 3 * z
    return np.stack([4 * x / total, 6 * y / total], axis=-1)
