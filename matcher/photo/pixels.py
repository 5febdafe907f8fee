"""Small things that everything done with decoded pixels needs: 8 bits of them, and a polygon filled among them."""

from __future__ import annotations

from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

_FRACTION_BITS = 4  # of OpenCV's fixed-point coordinates: sixteenths of a pixel


def as_eight_bits(values: NDArray[Any]) -> NDArray[np.uint8]:
    """Return file values in 8 bits: statistics over many pixels, and screens, gain nothing from more."""
    return (values >> 8).astype(np.uint8) if values.dtype == np.uint16 else values.astype(np.uint8, copy=False)


def fill_polygon(mask: NDArray[np.uint8], points: NDArray[np.floating[Any]], value: int) -> None:
    """Set ``mask`` (H, W) to ``value`` inside a polygon (N, 2) in pixel-edge coordinates: 0, 0 is the corner."""
    # OpenCV counts from the middle of the first pixel.
    fixed = np.round((points - 0.5) * (1 << _FRACTION_BITS)).astype(np.int32)
    cv2.fillPoly(mask, [fixed], value, shift=_FRACTION_BITS)
