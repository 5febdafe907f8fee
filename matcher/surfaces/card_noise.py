"""The noise filter that surfaces are read through, and what it leaves: seen on the cards, which have one colour each.

What is left is mostly blotches of colour several pixels wide, made by the camera's own noise reduction and by JPEG's
coarser grid for colour. A surface shows them too, where they look like a second colour of the material.
"""

from __future__ import annotations

from collections.abc import Sequence

import cv2
import numpy as np
from numpy.typing import NDArray

from matcher.colorimetry.spaces import Floats
from matcher.photo.decoded import Photo
from matcher.photo.pixels import as_eight_bits, fill_polygon
from matcher.room.contents import Reference

_FILTER_SIGMAS = 5.0  # range of the edge-keeping filter in noise sigmas
_THREE_CHANNELS = 1.7  # the filter adds up the distance over the channels
_FILTER_SIZE, _FILTER_REACH = 7, 3.0  # decoded pixels
_RIM = 3  # decoded pixels of a card's edge that the filter may have mixed
_DARK, _LIGHT = 30, 235  # file values between which noise looks as it does on most surfaces
_FEWEST = 40
_ENOUGH = 24  # decoded pixels from a card's middle
_FLOOR = 0.3  # file values: what rounding to whole numbers leaves


def quietened(image: NDArray[np.uint8], noise: float) -> NDArray[np.uint8]:
    """Return ``image`` (H, W, 3) without most of its ``noise`` (one-sigma of a file value 0..1), edges kept."""
    sigma = max(_FILTER_SIGMAS * noise * 255, 2.0) * _THREE_CHANNELS
    return as_eight_bits(cv2.bilateralFilter(image, _FILTER_SIZE, sigma, _FILTER_REACH))


def noise_left(photo: Photo, references: Sequence[Reference], noise: float) -> Floats:
    """Return the covariance (3, 3), in file values, of what the filter leaves inside the cards of a photo."""
    total, pixels = np.zeros((3, 3)), 0
    for reference in references:
        values = _inside(photo, np.asarray(reference.outline, dtype=float) * photo.scale, noise)
        if len(values) >= _FEWEST and _DARK < values[:, 1].mean() < _LIGHT:
            total += values_covariance(values) * len(values)
            pixels += len(values)
    left = total / pixels if pixels else np.eye(3) * (noise * 255) ** 2
    return np.asarray(left + _FLOOR**2 * np.eye(3))


def values_covariance(values: Floats) -> Floats:
    """Return the covariance (3, 3) of values (N, 5): three channels, and the position that light may slope along."""
    # A row a channel: numpy is fast along long rows.
    rows = np.ascontiguousarray(values.T)
    rows -= rows.mean(axis=1)[:, None]
    channels, where = rows[:3], rows[3:]
    channels -= (channels @ where.T @ np.linalg.pinv(where @ where.T)) @ where
    # A glint or a speck is no noise.
    size = np.abs(channels).max(axis=0)
    kept = channels[:, size <= 4 * max(float(np.median(size)), _FLOOR)]
    return np.asarray(kept @ kept.T / kept.shape[1])


def _inside(photo: Photo, outline: Floats, noise: float) -> Floats:
    """Return (N, 5) filtered file values and x, y inside an outline in decoded pixels."""
    height, width = photo.pixels.shape[:2]
    # The middle of a large card says as much as all of it.
    centre = outline.mean(axis=0)
    low = np.clip(np.floor(np.maximum(outline.min(axis=0), centre - _ENOUGH)).astype(int), 0, [width - 1, height - 1])
    high = np.clip(np.ceil(np.minimum(outline.max(axis=0), centre + _ENOUGH)).astype(int) + 1, 1, [width, height])
    mask = np.zeros((high[1] - low[1], high[0] - low[0]), np.uint8)
    fill_polygon(mask, outline - low, 1)
    size = 2 * _RIM + 1
    mask = as_eight_bits(
        cv2.erode(mask, np.ones((size, size), np.uint8), borderType=cv2.BORDER_CONSTANT, borderValue=0)
    )
    rows, columns = np.nonzero(mask)
    quiet = quietened(as_eight_bits(photo.pixels[low[1] : high[1], low[0] : high[0]]), noise)
    return np.column_stack([quiet[rows, columns].astype(float), columns, rows])
