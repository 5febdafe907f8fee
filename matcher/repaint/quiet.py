"""Noise taken out of the light of the old paint, edges kept: a guided filter that looks only inside the area.

He, Sun & Tang 2013 (doi 10.1109/TPAMI.2012.213), guided by the picture itself, with weights for the area and with the
regularisation set pixel by pixel to the noise that the camera leaves there.
"""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

Plane = NDArray[np.float32]

_SMALLEST = np.float32(1e-6)


def quietened(plane: Plane, weight: Plane, noise: Plane, radius: int) -> Plane:
    """Return ``plane`` (H, W) without noise of one-sigma ``noise`` (H, W), over a window of ``radius`` pixels.

    ``weight`` (H, W) is 1 for pixels that count and 0 for others; those get what their neighbours inside make likely.
    """
    size = (2 * radius + 1, 2 * radius + 1)
    share = np.maximum(cv2.blur(weight, size), _SMALLEST)
    mean = cv2.blur(plane * weight, size) / share
    # About the local mean, in single precision: the plain difference of squares would drown in rounding.
    apart = (plane - mean) * weight
    variance = cv2.blur(apart * apart, size) / share
    slope = variance / (variance + noise * noise + _SMALLEST)
    level = mean * (1 - slope)
    slope = cv2.blur(slope * weight, size) / share
    level = cv2.blur(level * weight, size) / share
    return np.asarray(slope * plane + level, dtype=np.float32)


def spread_inside(plane: NDArray[np.float32], weight: Plane, sigma: float) -> NDArray[np.float32]:
    """Return the Gaussian mean of ``plane`` (H, W) or (H, W, C) over pixels with weight, also for pixels without.

    Where no weighted pixel is within reach the result is 0.
    """
    total = cv2.GaussianBlur(weight, (0, 0), sigma)
    weighted = cv2.GaussianBlur(plane * (weight if plane.ndim == 2 else weight[..., None]), (0, 0), sigma)
    safe = np.maximum(total, _SMALLEST)
    return np.asarray(weighted / (safe if plane.ndim == 2 else safe[..., None]), dtype=np.float32)
