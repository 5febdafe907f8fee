"""Look at a large region in tiles: enough pixels for shares to one per cent, few enough to be quick."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

PIXEL_BUDGET = 10_000  # decoded pixels a surface: on rendered rooms shares come out within 0.02 at the median
_TILE = 28  # side of a tile, decoded pixels
_MARGIN = 2  # of a tile, given up to the filter
_FEWEST_A_SIDE = 3  # tiles across a region, so that light that bends across it is seen


@dataclass(frozen=True, slots=True, eq=False)
class Sample:
    """A picture (H, W, 3), which of its pixels count (H, W), and where each lies in the region (H, W, 2), x and y."""

    image: NDArray[np.uint8]
    inside: NDArray[np.bool_]
    positions: NDArray[np.float32]


def sample(crop: NDArray[np.uint8], mask: NDArray[np.uint8]) -> Sample:
    """Return the region whole, or as a row of tiles spread evenly over it where it is large."""
    area = float(np.count_nonzero(mask))
    if area <= PIXEL_BUDGET or min(mask.shape) < _TILE:
        return Sample(np.ascontiguousarray(crop), mask.astype(bool), _positions(*mask.shape))
    step = _TILE * np.sqrt(area / PIXEL_BUDGET)
    lefts = _spread(mask.shape[1], step)
    tiles, parts, corners = [], [], []
    for top in _spread(mask.shape[0], step):
        for left in lefts:
            part = mask[top : top + _TILE, left : left + _TILE]
            if part.any():
                tiles.append(crop[top : top + _TILE, left : left + _TILE])
                parts.append(part)
                corners.append((left, top))
    # Side by side, as image filters run along rows.
    inside = np.zeros((_TILE, len(parts), _TILE), bool)
    inner = slice(_MARGIN, -_MARGIN)
    inside[inner, :, inner] = np.stack(parts, axis=1)[inner, :, inner]
    positions = np.array(corners, np.float32)[:, None] + _positions(_TILE, _TILE)[:, None]
    width = len(parts) * _TILE
    return Sample(np.concatenate(tiles, axis=1), inside.reshape(_TILE, width), positions.reshape(_TILE, width, 2))


def _positions(height: int, width: int) -> NDArray[np.float32]:
    rows, columns = np.mgrid[0:height, 0:width].astype(np.float32)
    return np.stack([columns, rows], axis=-1)


def _spread(length: int, step: float) -> list[int]:
    """Return starts of tiles spread evenly from edge to edge of a side."""
    last = length - _TILE
    fewest = min(_FEWEST_A_SIDE, last // _TILE + 1)
    starts = np.linspace(0, last, max(fewest, round(last / step) + 1)).astype(int)
    return [int(start) for start in starts]
