"""Warm or cool, from three published models, each taken relative to what it says of a neutral.

The published scores have no usable zero for paints: they call every neutral cool, and reach 0 only at a chroma no wall
has. What they agree on is the direction: warm from a hue angle of about 315-320 degrees through 0 to 134-144.

- Ou, Luo, Woodcock & Wright 2004, Color Res. Appl. 29(3), 232-240: WC = -0.5 + 0.02 C^1.07 cos(h - 50).
- Ou, Yuan, Sato, Lee, Szabo, Sueeprasan & Huertas 2018, Color Res. Appl. 43: WC = -0.89 + 0.052 C [cos(h - 50) + 0.16
  cos(2h - 350)].
- Chang & Ou 2026, Color Res. Appl. 51, doi 10.1002/col.70063, eq. 2: W = 1298.3 (2.2175 u' + v' - 0.8877) /
  sqrt(2.2175^2 + 1).
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from matcher.colorimetry.spaces import WHITE_D65, lab_to_xyz
from matcher.harmony.tint import visibility, visible_share

FloatArray = NDArray[np.floating[Any]]

_CHANG_OU_NORMAL = np.array([2.2175, 1.0]) / np.hypot(2.2175, 1.0)
_CHANG_OU_SCALE = 1298.3
# Largest size of cos(h - 50) + 0.16 cos(2h - 350) over the hue circle: coolest, at h = 243; the warmest is 0.995.
_HUE_PEAK_2018 = 1.0895


def _chroma_hue(lab: ArrayLike) -> tuple[FloatArray, FloatArray]:
    array = np.asarray(lab, dtype=np.float64)
    return np.hypot(array[..., 1], array[..., 2]), np.arctan2(array[..., 2], array[..., 1])


def warm_cool_2004(lab: ArrayLike) -> FloatArray:
    """WC of Ou et al. 2004 above that of a neutral (-0.5)."""
    chroma, hue = _chroma_hue(lab)
    return np.asarray(0.02 * chroma**1.07 * np.cos(hue - np.radians(50)))


def warm_cool_2018(lab: ArrayLike) -> FloatArray:
    """WC of Ou et al. 2018 (eq. A6) above that of a neutral (-0.89)."""
    chroma, hue = _chroma_hue(lab)
    return np.asarray(0.052 * chroma * (np.cos(hue - np.radians(50)) + 0.16 * np.cos(2 * hue - np.radians(350))))


def _u_v(xyz: FloatArray) -> FloatArray:
    total = xyz[..., 0] + 15 * xyz[..., 1] + 3 * xyz[..., 2]
    total = np.where(total > 0, total, 1.0)
    return np.stack([4 * xyz[..., 0] / total, 9 * xyz[..., 1] / total], axis=-1)


def warm_cool_chang_ou(lab: ArrayLike) -> FloatArray:
    """W of Chang & Ou 2026 above that of a D65 neutral (+10.33); its unit is not that of the other two."""
    step = _u_v(lab_to_xyz(np.asarray(lab, dtype=np.float64))) - _u_v(np.asarray(WHITE_D65))
    return np.asarray(_CHANG_OU_SCALE * (step @ _CHANG_OU_NORMAL))


def hue_warmth(lab: ArrayLike) -> FloatArray:
    """How warm the hue is, -1..1, whatever its chroma.

    The mean of what the three models make of the direction alone.
    """
    array = np.asarray(lab, dtype=np.float64)
    _, hue = _chroma_hue(array)
    first = np.cos(hue - np.radians(50))
    second = (first + 0.16 * np.cos(2 * hue - np.radians(350))) / _HUE_PEAK_2018
    step = _u_v(lab_to_xyz(array)) - _u_v(np.asarray(WHITE_D65))
    length = np.hypot(step[..., 0], step[..., 1])
    third = (step @ _CHANG_OU_NORMAL) / np.where(length > 0, length, 1.0)
    return np.asarray((first + second + third) / 3)


def warmth(lab: ArrayLike) -> FloatArray:
    """-1 (cool) to +1 (warm), 0 for neutrals.

    The warmth of the hue times how visible it is (gate of harmony/tint.py).
    """
    return hue_warmth(lab) * visible_share(visibility(lab))
