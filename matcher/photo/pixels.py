"""Small things that everything done with pixels needs: 8 or 16 bits, some of them only, a polygon filled among them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

import cv2
import numpy as np
from numpy.typing import NDArray

T = TypeVar("T", bound=np.generic)

_STRIP_ROWS = 128
_FRACTION_BITS = 4  # of OpenCV's fixed-point coordinates: sixteenths of a pixel


def as_eight_bits(values: NDArray[Any]) -> NDArray[np.uint8]:
    """Return file values in 8 bits: statistics over many pixels, and screens, gain nothing from more."""
    if values.dtype == np.uint16:
        # Rounded: cutting the low byte off would make dark parts darker and light parts lighter by half a step.
        return by_strips(lambda strip: ((strip.astype(np.uint32) + 128) // 257).astype(np.uint8), values, np.uint8)
    return values.astype(np.uint8, copy=False)


def by_strips(change: Callable[[NDArray[Any]], NDArray[T]], values: NDArray[Any], dtype: type[T]) -> NDArray[T]:
    """Return ``change(values)``, which treats every value or row alike, made some rows at a time to save memory."""
    changed = np.empty(values.shape, dtype)
    for top in range(0, len(values), _STRIP_ROWS):
        changed[top : top + _STRIP_ROWS] = change(values[top : top + _STRIP_ROWS])
    return changed


def in_sixteen_bits(values: NDArray[Any]) -> NDArray[np.uint16]:
    """Return file values in 16 bits, full scale at full scale."""
    return values if values.dtype == np.uint16 else values.astype(np.uint16) * np.uint16(257)


def every(pixels: NDArray[np.uint8], step: int) -> NDArray[np.uint8]:
    """Return every ``step``-th pixel each way of (H, W, 3): enough for shares of a picture."""
    height, width = pixels.shape[:2]
    size = (max(1, width // step), max(1, height // step))
    # Several times as quick as a slice with steps, which is copied pixel by pixel.
    return as_eight_bits(cv2.resize(pixels, size, interpolation=cv2.INTER_NEAREST))


def fill_polygon(mask: NDArray[np.uint8], points: NDArray[np.floating[Any]], value: int) -> None:
    """Set ``mask`` (H, W) to ``value`` inside a polygon (N, 2) in pixel-edge coordinates: 0, 0 is the corner."""
    # OpenCV counts from the middle of the first pixel.
    fixed = np.round((points - 0.5) * (1 << _FRACTION_BITS)).astype(np.int32)
    cv2.fillPoly(mask, [fixed], value, shift=_FRACTION_BITS)
