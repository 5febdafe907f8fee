"""The pixels of a surface: inside its outlines, off its edges and cards, not clipped, not black, quietened."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from matcher.calibration.patch import as_eight_bits
from matcher.colorimetry.spaces import Floats
from matcher.photo.model import Photo

# Pixels looked at per outline set: enough for shares to 1 % in thirty independent grains, few enough for speed.
PIXEL_BUDGET = 14_000
_TILE = 28  # side of the sample squares, decoded pixels
_MARGIN = 2  # of a tile, given up to the filter
_EDGE = 1.5  # decoded pixels next to an outline that mix with what lies beyond
_CARD_CLEARANCE = 0.15  # of a card's width around it: its shadow and its rim
_WHITE, _BLACK = 253, 3  # file values beyond which a channel tells nothing
_WINDOW = 7  # decoded pixels: wider than the filter, narrower than a board or a tile
_CALM = 0.15  # share of windows taken to hold one material only
_FILTER_SIGMAS = 5.0  # range of the edge-keeping filter in noise sigmas


@dataclass(frozen=True, slots=True, eq=False)
class Region:
    """``values`` (N, 3) uint8 file values after noise filtering, ``positions`` (N, 2) full-size pixels x, y,
    ``roughness`` (N,) local contrast in file values, ``area`` full-size pixels inside the outlines, ``set_aside`` share
    of pixels that were clipped or black, ``noise`` (3,) one-sigma of what noise the filter left, in file values,
    ``index`` (N,) of the pixels in the sampled picture of ``shape``.
    """

    values: NDArray[np.uint8]
    positions: Floats
    roughness: NDArray[np.float32]
    area: float
    set_aside: float
    noise: Floats
    index: NDArray[np.intp]
    shape: tuple[int, int]

    def picture(self, values: NDArray[np.bool_]) -> NDArray[np.uint8]:
        """Return a picture (``shape``) of a truth value a pixel, for looking at its pattern."""
        canvas = np.zeros(self.shape[0] * self.shape[1], np.uint8)
        canvas[self.index[values]] = 1
        return canvas.reshape(self.shape)


def read_region(photo: Photo, outlines: Sequence[Floats], cards: Sequence[Floats], noise: float) -> Region:
    """Return the usable pixels inside ``outlines``; ``noise`` is one-sigma of a file value 0..1."""
    mask, origin = _mask(photo, outlines, cards)
    height, width = mask.shape
    crop = as_eight_bits(photo.pixels[origin[1] : origin[1] + height, origin[0] : origin[0] + width])
    area = float(np.count_nonzero(mask))
    image, inside, positions = _sample(crop, mask, area)
    sigma = max(_FILTER_SIGMAS * noise * 255, 2.0)
    quiet = as_eight_bits(cv2.bilateralFilter(image, 7, sigma * 1.7, 3.0))  # 1.7: distance over three channels
    grey = cv2.cvtColor(quiet, cv2.COLOR_RGB2GRAY)
    roughness = cv2.morphologyEx(grey, cv2.MORPH_GRADIENT, np.ones((3, 3), np.uint8))
    usable = inside & (image.min(axis=2) > _BLACK) & (image.max(axis=2) < _WHITE)
    total = np.count_nonzero(inside)
    rows, columns = np.nonzero(usable)
    return Region(
        values=quiet[rows, columns],
        positions=(positions[rows, columns] + (np.asarray(origin, np.float32) + np.float32(0.5)))
        / np.float32(photo.scale),
        roughness=roughness[rows, columns].astype(np.float32),
        area=area / photo.scale**2,
        set_aside=1 - len(rows) / total if total else 1.0,
        noise=np.minimum(_left_noise(quiet, usable), max(noise * 255, 0.5)),
        index=rows * image.shape[1] + columns,
        shape=(image.shape[0], image.shape[1]),
    )


def _left_noise(image: NDArray[np.uint8], usable: NDArray[np.bool_]) -> Floats:
    """Return (3,) sigma inside the calmest windows of the filtered picture."""
    # cv2.blur turns 8-bit input to 8-bit means; float keeps the variance of calm windows.
    values = image.astype(np.float32)
    # Every second window each way: neighbours share most of their pixels.
    size = (_WINDOW, _WINDOW)
    variance = np.asarray(cv2.blur(values * values, size) - cv2.blur(values, size) ** 2, dtype=float)
    whole = cv2.blur(usable.astype(np.float32), size) > 0.99
    if np.count_nonzero(whole[::2, ::2]) < _WINDOW:
        return np.full(3, np.inf)
    calm = variance[::2, ::2][whole[::2, ::2]]
    rank = int(_CALM * (len(calm) - 1))
    sigma: Floats = np.sqrt(np.maximum(np.partition(calm, rank, axis=0)[rank], 0.0))
    return sigma


def _mask(
    photo: Photo, outlines: Sequence[Floats], cards: Sequence[Floats]
) -> tuple[NDArray[np.uint8], tuple[int, int]]:
    """Return the mask of the inner pixels in the bounding box of all outlines, and the box's (x, y)."""
    height, width = photo.pixels.shape[:2]
    points = np.concatenate(list(outlines)) * photo.scale
    low = np.clip(np.floor(points.min(axis=0)).astype(int), 0, [width - 1, height - 1])
    high = np.clip(np.ceil(points.max(axis=0)).astype(int) + 1, 1, [width, height])
    mask = np.zeros((high[1] - low[1], high[0] - low[0]), np.uint8)
    for outline in outlines:
        cv2.fillPoly(mask, [_fixed(outline * photo.scale - low)], 1, shift=4)
    for card in cards:
        centre = card.mean(axis=0)
        grown = centre + (card - centre) * (1 + 2 * _CARD_CLEARANCE)
        cv2.fillPoly(mask, [_fixed(grown * photo.scale - low)], 0, shift=4)
    if min(mask.shape) > 4 * _EDGE:
        depth = cv2.distanceTransform(np.pad(mask, 1), cv2.DIST_L2, 3)[1:-1, 1:-1]
        inner = (depth > _EDGE).astype(np.uint8)
        mask = inner if inner.any() else mask
    return mask, (int(low[0]), int(low[1]))


def _fixed(points: Floats) -> NDArray[np.int32]:
    """Return pixel-edge coordinates as OpenCV's fixed-point pixel-centre coordinates (4 fractional bits)."""
    return np.round((points - 0.5) * 16).astype(np.int32)


def _sample(
    crop: NDArray[np.uint8], mask: NDArray[np.uint8], area: float
) -> tuple[NDArray[np.uint8], NDArray[np.bool_], NDArray[np.float32]]:
    """Return the picture, mask and pixel positions, whole or as a column of tiles spread evenly over a large region."""
    if area <= PIXEL_BUDGET:
        rows, columns = np.mgrid[0 : mask.shape[0], 0 : mask.shape[1]].astype(np.float32)
        return np.ascontiguousarray(crop), mask.astype(bool), np.stack([columns, rows], axis=-1)
    step = _TILE * np.sqrt(area / PIXEL_BUDGET)
    tiles, insides, positions = [], [], []
    inner = np.zeros((_TILE, _TILE), bool)
    inner[_MARGIN:-_MARGIN, _MARGIN:-_MARGIN] = True
    rows, columns = np.mgrid[0:_TILE, 0:_TILE].astype(np.float32)
    for top in _spread(mask.shape[0], step):
        for left in _spread(mask.shape[1], step):
            part = mask[top : top + _TILE, left : left + _TILE]
            if part.shape != (_TILE, _TILE) or not part.any():
                continue
            tiles.append(crop[top : top + _TILE, left : left + _TILE])
            insides.append(part.astype(bool) & inner)
            positions.append(np.stack([columns + left, rows + top], axis=-1))
    if not tiles:
        rows, columns = np.mgrid[0 : mask.shape[0], 0 : mask.shape[1]].astype(np.float32)
        return np.ascontiguousarray(crop), mask.astype(bool), np.stack([columns, rows], axis=-1)
    return np.concatenate(tiles), np.concatenate(insides), np.concatenate(positions)


def _spread(length: int, step: float) -> list[int]:
    """Return starts of tiles spread evenly from edge to edge of a side."""
    last = max(0, length - _TILE)
    return np.linspace(0, last, max(1, round(last / step) + 1)).astype(int).tolist()
