"""Propose where a chart of 24 patches lies in a photo: even patches in rows and columns, in the chart's own colours."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from matcher.colorimetry.chart import COLUMNS, ROWS
from matcher.photo.chart_grid import ChartGrid, find_grid
from matcher.photo.decoded import Photo
from matcher.photo.patches import EvenArea

Array = NDArray[Any]

# Of a patch's side. Large charts seen have 1.08 to 1.25, pocket charts 1.4; and the smaller a chart is in the picture
# the more its borders take of the patches as they are found.
_PITCHES = (1.17, 1.45, 1.8)
_NEAR = 0.28  # of a side: how far a neighbour may be from where it is expected
_LIKE = 1.5  # sides of neighbours, at most
_FEWEST = 12  # patches on one lattice
_STRAY = 0.15  # of a cell
_MOST_TRIED = 4
_AROUND = 0.12  # of a cell beyond the lattice: patches' edges, less than a frame


def propose_charts(photo: Photo, patches: Sequence[EvenArea], full_per_pixel: float) -> list[ChartGrid]:
    """Return the charts among ``patches`` of the working copy, the one with most patches seen first."""
    if len(patches) < _FEWEST:
        return []
    centres = np.array([patch.quad.mean(axis=0) for patch in patches])
    axes = np.array([_axes(patch.quad) for patch in patches])
    for pitch in _PITCHES:
        found = _on_lattices(photo, _lattices(centres, axes, pitch), centres, full_per_pixel)
        if found:
            return found
    return []


def _lattices(centres: Array, axes: Array, pitch: float) -> list[dict[int, tuple[int, int]]]:
    """Return the places of patches that lie in rows and columns, largest lattice first."""
    free = set(range(len(centres)))
    lattices = []
    while free:
        lattice = _grown(min(free), centres, axes, pitch)
        free -= set(lattice)
        if len(lattice) >= _FEWEST:
            lattices.append(lattice)
    return sorted(lattices, key=len, reverse=True)[:_MOST_TRIED]


def _on_lattices(
    photo: Photo, lattices: Sequence[dict[int, tuple[int, int]]], centres: Array, full_per_pixel: float
) -> list[ChartGrid]:
    found: list[ChartGrid] = []
    used: set[int] = set()
    for lattice in lattices:
        # A stray patch beside the chart may reach the same patches by other steps.
        if len(used & set(lattice)) > len(lattice) / 2:
            continue
        for corners in _windows(lattice, centres):
            grid = find_grid(photo, corners * full_per_pixel)
            if grid.fits and not grid.mirrored:
                found.append(grid)
                used |= set(lattice)
                break
    return found


def _axes(quad: Array) -> Array:
    """Return the patch's sides (2, 2) as vectors: the one that runs to the right, the one that runs down."""
    sides = np.roll(quad, -1, axis=0) - quad
    one, other = (sides[0] - sides[2]) / 2, (sides[1] - sides[3]) / 2
    across, down = (one, other) if abs(one[0]) >= abs(other[0]) else (other, one)
    return np.array([across if across[0] > 0 else -across, down if down[1] > 0 else -down])


def _grown(seed: int, centres: Array, axes: Array, pitch: float) -> dict[int, tuple[int, int]]:
    """Return the places (column, row) of the patches reached from ``seed`` neighbour by neighbour."""
    size = np.linalg.norm(axes, axis=2).mean(axis=1)
    place = {seed: (0, 0)}
    taken = {(0, 0)}
    waiting = [seed]
    while waiting:
        at = waiting.pop(0)
        for step in ((1, 0), (-1, 0), (0, 1), (0, -1)):
            where = (place[at][0] + step[0], place[at][1] + step[1])
            if where in taken:
                continue
            expected = centres[at] + pitch * (np.array(step) @ axes[at])
            away = np.linalg.norm(centres - expected, axis=1)
            other = int(away.argmin())
            ratio = size[other] / size[at]
            if other not in place and away[other] < _NEAR * size[at] and 1 / _LIKE < ratio < _LIKE:
                place[other] = where
                taken.add(where)
                waiting.append(other)
    return place


def _windows(lattice: dict[int, tuple[int, int]], centres: Array) -> list[Array]:
    """Return corners (4, 2) of the windows of 6 by 4 or 4 by 6 cells that hold most of the lattice, working pixels."""
    members = list(lattice)
    cells = np.array([lattice[i] for i in members], dtype=float)
    matrix, kept = cv2.findHomography(cells, centres[members], cv2.RANSAC, _STRAY * _spacing(cells, centres[members]))
    if matrix is None or int(kept.sum()) < _FEWEST:
        return []
    cells = cells[kept[:, 0] > 0]
    low, high = cells.min(axis=0).astype(int), cells.max(axis=0).astype(int)
    tried = []
    for wide, tall in ((COLUMNS, ROWS), (ROWS, COLUMNS)):
        for left in range(low[0] - 1, high[0] + 1):
            for top in range(low[1] - 1, high[1] + 1):
                inside = (cells >= [left, top]).all(axis=1) & (cells < [left + wide, top + tall]).all(axis=1)
                tried.append((-int(inside.sum()), wide, tall, left, top))
    best = sorted(tried)[:_MOST_TRIED]
    corners = [
        np.array([[left, top], [left + wide, top], [left + wide, top + tall], [left, top + tall]]) - 0.5
        + _AROUND * np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]])
        for count, wide, tall, left, top in best
        if count <= -_FEWEST
    ]  # fmt: skip
    return [cv2.perspectiveTransform(window[None].astype(np.float64), matrix)[0] for window in corners]


def _spacing(cells: Array, centres: Array) -> float:
    """Return the usual distance of neighbours, working pixels."""
    apart = np.linalg.norm(cells[:, None] - cells[None], axis=2)
    distance = np.linalg.norm(centres[:, None] - centres[None], axis=2)
    return float(np.median(distance[np.abs(apart - 1) < 0.01]))
