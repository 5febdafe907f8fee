"""The colour of the light from statistics of the whole picture: what a scene's colours are like on average.

The light's colour is taken for a mean of the picture, or of its edges, in the sense of Minkowski: order 1 is the plain
mean (grey world, Buchsbaum 1980), infinity the largest value of each channel (white patch). Published angular errors,
median and mean of the worst quarter: shades of grey 4.0 and 10.2 degrees on the Gehler-Shi photographs, 2.3 to 2.9 at
the median on eight cameras' (NUS-8); first-order grey edge 4.5 and 10.0, 2.0 to 2.6 (Cheng, Price, Cohen & Brown 2015,
CVPR, tables 1 and 2).
"""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from matcher.colorimetry.spaces import Floats

_DARKEST = 1e-6
_BLUR_REACH = 4  # sigmas: where OpenCV cuts a Gaussian off


def shades_of_grey(linear: Floats, order: float) -> Floats:
    """Return the light (3,) as the Minkowski mean of linear RGB (N, 3) of an order from 1 to infinity.

    Finlayson & Trezzi 2004, Color Imaging Conference 12:37-41.
    """
    largest = np.maximum(linear.max(axis=0), _DARKEST)
    if np.isinf(order):
        return np.asarray(largest)
    mean = largest * np.mean((linear / largest) ** order, axis=0) ** (1 / order)
    # Where there is nothing at all, as edges in a picture of one colour, nothing speaks for any colour.
    return np.asarray(np.maximum(mean, _DARKEST))


def grey_edge(linear: Floats, usable: NDArray[np.bool_], order: float, sigma: float) -> Floats:
    """Return the light (3,) as the Minkowski mean of the gradients of linear RGB (H, W, 3).

    The picture is blurred by ``sigma`` pixels first. Gradients that touch what is not ``usable`` (H, W) do not count.
    van de Weijer, Gevers & Gijsenij 2007, IEEE Trans. Image Process. 16(9):2207-2214.
    """
    blurred = cv2.GaussianBlur(np.ascontiguousarray(linear), (0, 0), sigma)
    padded = np.pad(blurred, ((1, 1), (1, 1), (0, 0)), mode="edge")
    across, down = (padded[1:-1, 2:] - padded[1:-1, :-2]) / 2, (padded[2:, 1:-1] - padded[:-2, 1:-1]) / 2
    reach = 2 * (int(np.ceil(_BLUR_REACH * sigma)) + 1) + 1
    inside = cv2.erode(usable.astype(np.uint8), np.ones((reach, reach), np.uint8)) > 0
    gradient = np.hypot(across, down)[inside if inside.any() else usable]
    return shades_of_grey(gradient, order)
