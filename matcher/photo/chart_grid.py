"""Where the 24 patches of a chart lie inside a four-sided outline, and which way round the chart is.

The outline may run round the patches or round the chart's frame, and may begin at any corner: every reading of it is
tried, and the one in which the patches are even and stand in the chart's own order is taken.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from itertools import product
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from matcher.colorimetry.chart import COLUMNS, ROWS, chart_xyz
from matcher.colorimetry.spaces import xyz_to_linear_srgb
from matcher.photo.decoded import Photo
from matcher.photo.pixels import as_eight_bits

Array = NDArray[Any]

_SIDE = 384  # of the square that the outline is brought to, pixels
# Of a cell's pitch: what the outline leaves beside the patches (a frame) or takes off them (drawn at their edges,
# with the gap between patches only inside). Assumption, from charts seen: patches take 0.82 to 0.92 of the pitch.
_MARGINS = (-0.08, 0.06, 0.2, 0.36, 0.55, 0.75)
_FINER = (-0.06, 0.0, 0.06)
_CORE = 0.34  # half of the window that has to be even, of the pitch
_TRIED = 8
_STRONG_EDGE = 120  # encoded steps times 8
_AS_GOOD = 1.3  # times the smallest misfit: of these readings the most even one
# For finding the patches' edges: a picture of the chart with this pitch in pixels, and a border in cells.
_PITCH, _BORDER = 40, 0.6
_SEED = 5  # pixels to each side of a patch's middle
_REACH = 0.75  # of a cell, from its middle
_ALIKE, _NOISY = 8.0, 3.5  # encoded steps; times the seed's deviation
_PATCH_SIZE = (0.6, 1.04)  # of the pitch
_FILLED = 0.85
_ENOUGH_SEEN = 12
_STRAY, _FARTHEST_MOVE = 0.06, 0.5  # of a cell
_DARK = 0.05  # weight 1 / (this + level), linear
_BLACK, _RIDGE = 1e-4, 1e-6
_ALTERNATED = 5
_FREE_LEVEL = (0.2, 5.0)
# With their order right patches were left below 0.15 on photographs under lamps and on drawn charts under steep light,
# shadows and strong curves; any other order, half a chart or something else left 0.79 and more.
LARGEST_MISFIT = 0.4
_UNIT_SQUARE: Array = np.array([[0.0, 0], [1, 0], [1, 1], [0, 1]])
_MIDDLES: Array = np.array([[index % COLUMNS + 0.5, index // COLUMNS + 0.5] for index in range(ROWS * COLUMNS)])


@dataclass(frozen=True, slots=True, eq=False)
class ChartGrid:
    """``to_photo`` (3, 3) homography from chart coordinates (cells: x 0..6, y 0..4, dark brown at 0, 0) to full-size
    pixels; ``misfit`` of the patches to the chart's, 0 to about 1; ``mirrored`` where only its mirror image fits.
    """

    to_photo: Array
    misfit: float
    mirrored: bool

    @property
    def fits(self) -> bool:
        """Whether these are the patches of the chart."""
        return self.misfit <= LARGEST_MISFIT

    @property
    def quarter_turns(self) -> int:
        """How often the chart is turned by 90 degrees clockwise in the photo: 2 is upside down."""
        start, end = _mapped(self.to_photo, np.array([[0.0, ROWS / 2], [COLUMNS, ROWS / 2]]))
        return int(np.round(np.degrees(np.arctan2(end[1] - start[1], end[0] - start[0])) / 90)) % 4

    def cell(self, index: int, half: float) -> tuple[tuple[float, float], ...]:
        """Return the square around the middle of a patch (0..23), ``half`` a cell to each side; full-size pixels."""
        square = _MIDDLES[index] + half * np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]])
        return tuple((float(x), float(y)) for x, y in _mapped(self.to_photo, square))

    def outline(self) -> tuple[tuple[float, float], ...]:
        """Return the corners of all cells together, in full-size pixels, from dark brown on."""
        corners = _UNIT_SQUARE * [COLUMNS, ROWS]
        return tuple((float(x), float(y)) for x, y in _mapped(self.to_photo, corners))


def find_grid(photo: Photo, corners: Array) -> ChartGrid:
    """Return the best reading of an outline (4, 2) in full-size pixels; it need not fit."""
    square = _warped(photo, corners, _SIDE * _UNIT_SQUARE, (_SIDE, _SIDE))
    windows = _Windows(square)
    tried = []
    for shape in ((COLUMNS, ROWS), (ROWS, COLUMNS)):
        for uneven, low, high in _even_lattices(windows, shape):
            encoded = windows.colours(*_cells(shape, low[None], high[None]))[0]
            misfit, turns, mirrored = best_order(_linear(photo, encoded).reshape(shape[1], shape[0], 3))
            tried.append((misfit, uneven, _to_square(low, high, shape, turns, mirrored), mirrored))
    best = min(misfit for misfit, *_ in tried)
    likely = [each for each in tried if each[0] <= _AS_GOOD * best]
    misfit, _, to_square, mirrored = min(likely, key=lambda each: each[1])
    grid = ChartGrid(_from_square(corners) @ to_square, misfit, mirrored)
    return _refined(photo, grid) if grid.fits else grid


def _refined(photo: Photo, grid: ChartGrid) -> ChartGrid:
    """Move the grid onto the middles of the patches as their edges show them."""
    low = np.full(2, -_BORDER)
    extent = np.array([COLUMNS, ROWS]) + 2 * _BORDER
    frame = low + _UNIT_SQUARE * extent
    width, height = (round(float(length) * _PITCH) for length in extent)
    flat = _warped(photo, _mapped(grid.to_photo, frame), (frame - low) * _PITCH, (width, height))
    found = [_middle_of_patch(flat, (middle - low) * _PITCH) for middle in _MIDDLES]
    seen = np.array([middle is not None for middle in found])
    if seen.sum() < _ENOUGH_SEEN:
        return grid
    where = np.array([middle for middle in found if middle is not None]) / _PITCH + low
    moved, _ = cv2.findHomography(_MIDDLES[seen], where, cv2.RANSAC, _STRAY)
    if moved is None or np.abs(_mapped(moved, _MIDDLES) - _MIDDLES).max() > _FARTHEST_MOVE:
        return grid
    return ChartGrid(grid.to_photo @ moved, grid.misfit, grid.mirrored)


def _middle_of_patch(flat: Array, at: Array) -> Array | None:
    """Return the middle (2,) of the patch around ``at``, pixels; None where it does not stand out from its frame."""
    half = round(_REACH * _PITCH)
    x, y = (int(value) for value in np.round(at))
    left, top = max(x - half, 0), max(y - half, 0)
    window = flat[top : y + half + 1, left : x + half + 1].astype(float)
    seed = flat[y - _SEED : y + _SEED + 1, x - _SEED : x + _SEED + 1].reshape(-1, 3)
    limit = max(_ALIKE, _NOISY * float(seed.std(axis=0).max()))
    alike = np.abs(window - np.median(seed, axis=0)).max(axis=2) < limit
    _, labels, stats, middles = cv2.connectedComponentsWithStats(alike.astype(np.uint8), connectivity=4)
    label = labels[y - top, x - left]
    _, _, width, height, area = stats[label].tolist()
    least, most = (_PITCH * size for size in _PATCH_SIZE)
    if not label or min(width, height) < least or max(width, height) > most or area < _FILLED * width * height:
        return None
    return np.asarray(middles[label] + [left, top])


def _linear(photo: Photo, encoded: Array) -> Array:
    table = photo.colour_space.decode_table
    return np.asarray(np.interp(encoded / 255, np.linspace(0, 1, len(table)), table))


def best_order(linear: Array) -> tuple[float, int, bool]:
    """Return misfit, quarter turns (counter-clockwise, as ``numpy.rot90``) and whether to mirror, of a grid of patches.

    ``linear`` (4, 6, 3) or (6, 4, 3): after turning, then mirroring left to right, it stands as the chart does.
    """
    tried = []
    for turns in range(4):
        turned = np.rot90(linear, turns)
        if turned.shape[:2] != (ROWS, COLUMNS):
            continue
        tried += [(_misfit(turned), turns, False), (_misfit(turned[:, ::-1]), turns, True)]
    return min(tried)


@cache
def _reference() -> tuple[Array, Array, float]:
    """Return linear sRGB (24, 3) of the chart, the patches' weights (24, 1), and their weighted colourfulness."""
    linear = np.asarray(xyz_to_linear_srgb(chart_xyz()))
    weight = 1 / (_DARK + linear.mean(axis=1, keepdims=True))
    grey = linear.mean(axis=1, keepdims=True)
    return linear, weight, float((((linear - grey) * weight) ** 2).sum())


def _misfit(patches: Array) -> float:
    """Return what the best linear map of patches (4, 6, 3) leaves of the chart's colours, relative to their variety.

    Each patch's level is free: what tells the order is colour, which shadows and tone curves change little.
    """
    reference, weight, variety = _reference()
    seen = patches.reshape(-1, 3)
    seen = seen / np.maximum(seen.sum(axis=1, keepdims=True), _BLACK) * reference.sum(axis=1, keepdims=True)
    level = np.ones((len(seen), 1))
    mapped = seen
    for _ in range(_ALTERNATED):
        design = seen * weight * level
        normal = design.T @ design + _RIDGE * np.eye(3)
        mapped = seen @ np.linalg.solve(normal, design.T @ (reference * weight))
        along = (mapped * reference).sum(axis=1, keepdims=True)
        level = np.clip(along / np.maximum((mapped**2).sum(axis=1, keepdims=True), 1e-9), *_FREE_LEVEL)
    return float(np.sqrt((((mapped * level - reference) * weight) ** 2).sum() / variety))


def _warped(photo: Photo, corners: Array, target: Array, size: tuple[int, int]) -> Array:
    """Return 8 bits of ``corners`` (4, 2; full-size pixels) brought to ``target`` (4, 2) in a picture of ``size``.

    Large places are shrunk by area first, so that noise and print average out.
    """
    points = corners * photo.scale
    height, width = photo.pixels.shape[:2]
    low = np.clip(np.floor(points.min(axis=0)).astype(int) - 2, 0, [width - 1, height - 1])
    high = np.clip(np.ceil(points.max(axis=0)).astype(int) + 2, low + 1, [width, height])
    crop: Array = as_eight_bits(photo.pixels[low[1] : high[1], low[0] : high[0]])
    shrink = float(np.sqrt(cv2.contourArea(points.astype(np.float32)) / (size[0] * size[1])))
    factor = np.ones(2)
    if shrink > 1:
        smaller = np.maximum(np.round(np.array(crop.shape[1::-1]) / shrink), 1).astype(int)
        factor = smaller / np.array(crop.shape[1::-1])
        crop = cv2.resize(crop, (int(smaller[0]), int(smaller[1])), interpolation=cv2.INTER_AREA)
    start = (points - low) * factor - 0.5
    matrix = cv2.getPerspectiveTransform(start.astype(np.float32), (target - 0.5).astype(np.float32))
    return np.asarray(cv2.warpPerspective(crop, matrix, size, borderMode=cv2.BORDER_REPLICATE))


def _from_square(corners: Array) -> Array:
    """Return the homography from the unit square to the outline's corners."""
    return np.asarray(cv2.getPerspectiveTransform(_UNIT_SQUARE.astype(np.float32), corners.astype(np.float32)))


class _Windows:
    """Means and edges over windows of the square, from running sums."""

    def __init__(self, pixels: Array) -> None:
        self._colour = cv2.integral(pixels, sdepth=cv2.CV_64F)
        smooth = cv2.GaussianBlur(pixels, (0, 0), 1.0)
        edges = np.maximum(np.abs(cv2.Sobel(smooth, cv2.CV_16S, 1, 0)), np.abs(cv2.Sobel(smooth, cv2.CV_16S, 0, 1)))
        self._edge = cv2.integral(np.minimum(edges.max(axis=2), _STRONG_EDGE).astype(np.uint8), sdepth=cv2.CV_32S)

    def colours(self, x: Array, y: Array, half_x: Array, half_y: Array) -> Array:
        """Return (M, K, 3) means in windows around ``x``, ``y`` (M, K)."""
        return self._mean(self._colour.reshape(-1, 3), x, y, half_x, half_y)

    def edges(self, x: Array, y: Array, half_x: Array, half_y: Array) -> Array:
        """Return (M, K) the mean gradient in the windows, strong ones cut."""
        return self._mean(self._edge.ravel(), x, y, half_x, half_y)

    def _mean(self, sums: Array, x: Array, y: Array, half_x: Array, half_y: Array) -> Array:
        left, right, top, bottom = _whole(x - half_x), _whole(x + half_x), _whole(y - half_y), _whole(y + half_y)
        above, below = top * (_SIDE + 1), bottom * (_SIDE + 1)
        total = sums[below + right] - sums[above + right] - sums[below + left] + sums[above + left]
        area = (right - left) * (bottom - top)
        return np.asarray(total / (area[..., None] if total.ndim > area.ndim else area))


def _whole(values: Array) -> Array:
    return np.clip(np.round(values), 0, _SIDE).astype(np.int32)


def _cells(shape: tuple[int, int], low: Array, high: Array) -> tuple[Array, Array, Array, Array]:
    """Return x and y (M, K) of the cells' middles and half their windows' sizes (M, 1), pixels of the square.

    ``low``, ``high`` (M, 2) are the margins at the near and the far sides, in cells.
    """
    count = np.array(shape)
    pitch = _SIDE / (count + low + high)
    x = (low[:, :1] + np.arange(shape[0]) + 0.5) * pitch[:, :1]
    y = (low[:, 1:] + np.arange(shape[1]) + 0.5) * pitch[:, 1:]
    grid_x = np.broadcast_to(x[:, None], (len(low), shape[1], shape[0])).reshape(len(low), -1)
    grid_y = np.broadcast_to(y[:, :, None], (len(low), shape[1], shape[0])).reshape(len(low), -1)
    return grid_x, grid_y, _CORE * pitch[:, :1], _CORE * pitch[:, 1:]


def _even_lattices(windows: _Windows, shape: tuple[int, int]) -> list[tuple[float, Array, Array]]:
    """Return unevenness and margins of the most even readings of the square, each side's margins tried finely."""
    margins = np.array(list(product(_MARGINS, repeat=4)))
    coarse = _unevenness(windows, shape, margins)
    starts = margins[np.argsort(coarse, kind="stable")[:_TRIED]]
    steps = np.array(list(product(_FINER, repeat=4)))
    found = []
    for start in starts:
        near = start + steps
        uneven = _unevenness(windows, shape, near)
        level = uneven.min()
        # The middle of the plateau: several margins leave the windows inside their patches.
        middle = near[uneven <= level * 1.02 + 0.05].mean(axis=0)
        found.append((float(level), middle[:2], middle[2:]))
    return found


def _unevenness(windows: _Windows, shape: tuple[int, int], margins: Array) -> Array:
    edges = windows.edges(*_cells(shape, margins[:, :2], margins[:, 2:]))
    return np.asarray(np.sqrt(edges).mean(axis=1))


def _to_square(low: Array, high: Array, shape: tuple[int, int], turns: int, mirrored: bool) -> Array:
    """Return the (3, 3) map from chart coordinates to the unit square, for a grid that ``turns`` and mirroring undo."""
    index = np.arange(shape[0] * shape[1]).reshape(shape[1], shape[0])
    order = np.rot90(index, turns)
    order = order[:, ::-1] if mirrored else order
    where = np.stack([order % shape[0], order // shape[0]], axis=-1) + 0.5  # (4, 6, 2) cell middles in the square
    origin, along_x, along_y = where[0, 0], where[0, 1] - where[0, 0], where[1, 0] - where[0, 0]
    corner = origin - 0.5 * along_x - 0.5 * along_y
    total = np.array(shape) + low + high
    columns = [along_x / total, along_y / total, (corner + low) / total]
    return np.vstack([np.stack(columns, axis=1), [0.0, 0.0, 1.0]])


def _mapped(matrix: Array, points: Array) -> Array:
    moved = np.column_stack([points, np.ones(len(points))]) @ matrix.T
    return np.asarray(moved[:, :2] / moved[:, 2:])
