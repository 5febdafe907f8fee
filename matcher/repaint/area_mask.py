"""How much of each pixel lies inside what is to be painted: outlines less holes, anti-aliased."""

from __future__ import annotations

from collections.abc import Sequence

import cv2
import numpy as np
from numpy.typing import ArrayLike, NDArray

from matcher.photo.pixels import fill_polygon
from matcher.room.contents import Area

_FINE = 4  # samples a pixel each way

Coverage = NDArray[np.float32]


def area_coverage(areas: Sequence[Area], shape: tuple[int, int], scale: float) -> Coverage:
    """Return (H, W) the share 0..1 of each pixel inside any of ``areas``, outlined in full-size pixels.

    ``shape`` is (H, W) of the picture, ``scale`` its width over the full-size width.
    """
    total = np.zeros(shape, np.float32)
    for area in areas:
        total = np.maximum(total, _one(area.outlines, area.holes, shape, scale))
    return total


def without_cards(coverage: Coverage, cards: Sequence[ArrayLike], scale: float) -> Coverage:
    """Return ``coverage`` (H, W) less the ``cards``, outlined in full-size pixels: a card stands in front of paint."""
    left = coverage
    for card in cards:
        left = np.minimum(left, 1 - _one([card], [], (coverage.shape[0], coverage.shape[1]), scale))
    return left


def _one(outlines: Sequence[ArrayLike], holes: Sequence[ArrayLike], shape: tuple[int, int], scale: float) -> Coverage:
    height, width = shape
    points = np.concatenate([np.asarray(outline, dtype=float) for outline in outlines]) * scale
    low = np.clip(np.floor(points.min(axis=0)).astype(int), 0, [width - 1, height - 1])
    high = np.clip(np.ceil(points.max(axis=0)).astype(int), low + 1, [width, height])
    fine = np.zeros(((high - low)[::-1] * _FINE), np.uint8)
    for outline in outlines:
        fill_polygon(fine, _fine(outline, scale, low), 255)
    for hole in holes:
        fill_polygon(fine, _fine(hole, scale, low), 0)
    size = (int(high[0] - low[0]), int(high[1] - low[1]))
    part = np.asarray(cv2.resize(fine, size, interpolation=cv2.INTER_AREA), dtype=np.float32) / np.float32(255)
    whole = np.zeros(shape, np.float32)
    whole[low[1] : high[1], low[0] : high[0]] = part
    return whole


def _fine(outline: ArrayLike, scale: float, low: NDArray[np.intp]) -> NDArray[np.float64]:
    """Return an outline of the full-size picture in pixels of the fine grid."""
    return (np.asarray(outline, dtype=float) * scale - low) * _FINE
