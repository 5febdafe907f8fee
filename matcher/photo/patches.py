"""Find even, four-sided patches: places of low gradient, closed all round, whose border is four straight lines."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from matcher.photo.decoded import Photo
from matcher.photo.pixels import as_eight_bits

Array = NDArray[Any]

# Lengths are in pixels of a copy this long; a card that fills 3 % of the width is then 36 pixels.
_WORK_SIDE_PX = 1200
# Encoded steps per pixel (0..255) above which a place is an edge. Several, since a black card on a dark cabinet has a
# faint border and a grey card on speckled stone a busy one. Found on practice photos, as the limits below.
_EDGE_LEVELS = (5.0, 9.0, 18.0)
_SMALLEST_AREA_PX = 250
_LARGEST_SHARE = 0.12
_LEAST_SOLIDITY = 0.90
_LEAST_QUAD_FIT = 0.84
_LONGEST_TO_SHORTEST_SIDE = 3.5
# A card lying far off is seen at a slant; so are boards and drawers, so that it needs others beside it.
_SLANTED_LONGEST_TO_SHORTEST, _RIM_PX = 5.0, 2.0
_BORDER_OFFSET_PX = 4.0
_BEYOND = 0.5  # of the patch's side: past any grout, still within the next tile
_SAME_COLOUR_STEP = 10.0  # encoded steps
_TEXTURE_WINDOW_PX = 7
_TEXTURE_LEVELS = (3.0, 6.0)  # encoded standard deviation


@dataclass(frozen=True, slots=True, eq=False)
class EvenArea:
    """``quad`` (4, 2) in pixels of the working copy, just inside the border; ``rgb`` (3,) encoded mean, 0..255.

    ``unevenness`` is the encoded standard deviation left after a plane, ``border`` (0..255) the step in colour across
    the faintest of the four sides, ``fit`` (0..1) how well four straight lines describe the region, ``repeats`` (0..4)
    beyond how many sides the same colour comes again, as it does from tile to tile.
    """

    quad: Array
    rgb: Array
    unevenness: float
    border: float
    fit: float
    repeats: int

    @property
    def area(self) -> float:
        """Area in pixels of the working copy."""
        return float(cv2.contourArea(self.quad.astype(np.float32)))

    @property
    def slender(self) -> bool:
        """Whether it is as long and thin as boards are, and cards only when seen at a slant."""
        sides = _sides(self.quad)
        return bool(sides.max() > _LONGEST_TO_SHORTEST_SIDE * sides.min())


def working_copy(photo: Photo) -> tuple[Array, float]:
    """Return an 8-bit copy (H, W, 3) that is 1200 pixels long, and full-size pixels per pixel of it.

    Smaller pictures are enlarged: what a border takes of a patch is then a smaller part of it.
    """
    pixels: Array = as_eight_bits(photo.pixels)
    by = _WORK_SIDE_PX / max(pixels.shape[:2])
    if by != 1:
        size = (max(1, round(pixels.shape[1] * by)), max(1, round(pixels.shape[0] * by)))
        pixels = cv2.resize(pixels, size, interpolation=cv2.INTER_AREA if by < 1 else cv2.INTER_CUBIC)
    return pixels, photo.full_size[0] / pixels.shape[1]


def find_patches(pixels: Array) -> list[EvenArea]:
    """Return distinct patches of an 8-bit picture (H, W, 3); of overlapping ones the best fitting."""
    smooth = smoothed(pixels)
    gradient = _gradient(smooth)
    flat_places = [gradient < level for level in _EDGE_LEVELS]
    flat_places += _smooth_places(pixels)
    found = [quad for flat in flat_places for quad in _quads(flat)]
    return [patch_at(smooth, quad, fit) for quad, fit in _distinct(found)]


def smoothed(pixels: Array) -> Array:
    """Return an 8-bit picture (H, W, 3) without its noise, as patches are measured in it."""
    return cv2.GaussianBlur(pixels, (0, 0), 1.2)


def _smooth_places(pixels: Array) -> list[Array]:
    """Return where the texture is faint: on patterned stone a card's border is no line, the pattern just stops."""
    grey = cv2.cvtColor(pixels, cv2.COLOR_RGB2GRAY).astype(np.float32)
    mean = cv2.blur(grey, (_TEXTURE_WINDOW_PX, _TEXTURE_WINDOW_PX))
    variance = cv2.blur(grey * grey, (_TEXTURE_WINDOW_PX, _TEXTURE_WINDOW_PX)) - mean * mean
    block = np.ones((_TEXTURE_WINDOW_PX - 2, _TEXTURE_WINDOW_PX - 2), np.uint8)
    places = []
    for level in _TEXTURE_LEVELS:
        # Calm spots of the pattern that touch the card are cut off. The window reaches across the border by half its
        # width; what it took away is given back, less a pixel.
        calm = cv2.morphologyEx((variance < level**2).astype(np.uint8), cv2.MORPH_OPEN, block)
        places.append(np.asarray(cv2.dilate(calm, block) > 0))
    return places


def _gradient(pixels: Array) -> Array:
    """Return the largest channel's gradient, encoded steps per pixel."""
    dx = cv2.Scharr(pixels, cv2.CV_16S, 1, 0)
    dy = cv2.Scharr(pixels, cv2.CV_16S, 0, 1)
    red, green, blue = cv2.split(np.maximum(np.abs(dx), np.abs(dy)))
    return cv2.max(cv2.max(red, green), blue).astype(np.float32) / 32


def _quads(flat: Array) -> Iterator[tuple[Array, float]]:
    """Yield (quad, fit) of each flat region that is a filled, convex, four-sided shape away from the picture's edge."""
    height, width = flat.shape
    _, labels, stats, _ = cv2.connectedComponentsWithStats(flat.astype(np.uint8), connectivity=4)
    left, top, wide, high, area = stats.T
    inside = (left > 1) & (top > 1) & (left + wide < width - 1) & (top + high < height - 1)
    fits = inside & (area >= _SMALLEST_AREA_PX * 0.6) & (wide * high <= 2 * _LARGEST_SHARE * width * height)
    fits[0] = False  # what is not flat
    for label in np.flatnonzero(fits).tolist():
        x, y, w, h = stats[label, :4].tolist()
        region = (labels[y : y + h, x : x + w] == label).astype(np.uint8)
        contours, _ = cv2.findContours(region, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE, offset=(x, y))
        found = _fit_quad(max(contours, key=cv2.contourArea))
        if found is not None:
            yield found


def _fit_quad(contour: Array) -> tuple[Array, float] | None:
    hull = cv2.convexHull(contour)
    hull_area = cv2.contourArea(hull)
    if hull_area < _SMALLEST_AREA_PX or cv2.contourArea(contour) < _LEAST_SOLIDITY * hull_area:
        return None
    length = cv2.arcLength(hull, True)
    for tolerance in (0.02, 0.03, 0.045, 0.06, 0.08):
        quad = cv2.approxPolyDP(hull, tolerance * length, True).reshape(-1, 2)
        if len(quad) <= 4:
            break
    if len(quad) != 4:
        return None
    fit = cv2.contourArea(quad) / hull_area
    fit = min(fit, 1 / fit) if fit > 0 else 0.0
    whole = _sides(quad) + 2 * _RIM_PX
    if fit < _LEAST_QUAD_FIT or whole.max() > _SLANTED_LONGEST_TO_SHORTEST * whole.min():
        return None
    return quad.astype(float), float(fit)


def _sides(quad: Array) -> Array:
    return np.asarray(np.linalg.norm(quad - np.roll(quad, -1, axis=0), axis=1))


def patch_at(pixels: Array, quad: Array, fit: float) -> EvenArea:
    """Return what is seen inside ``quad`` (4, 2) of a smoothed picture (H, W, 3), whatever found it."""
    x, y = np.floor(quad.min(axis=0)).astype(int)
    right, bottom = np.ceil(quad.max(axis=0)).astype(int) + 1
    mask = np.zeros((bottom - y, right - x), np.uint8)
    cv2.fillConvexPoly(mask, (quad - (x, y)).round().astype(np.int32), 1)
    rows, columns = np.nonzero(mask)
    values = pixels[y:bottom, x:right][rows, columns].astype(float)
    plane = np.column_stack([np.ones(len(rows)), rows - rows.mean(), columns - columns.mean()])
    solution, *_ = np.linalg.lstsq(plane, values, rcond=None)
    unevenness = float((values - plane @ solution).std(axis=0).max())
    steps = _steps_outside(pixels, quad, solution[0], offset_px=_BORDER_OFFSET_PX)
    beyond = _steps_outside(pixels, quad, solution[0], offset_px=_BEYOND * float(np.sqrt(len(rows))))
    return EvenArea(quad, solution[0], unevenness, float(steps.min()), fit, int((beyond < _SAME_COLOUR_STEP).sum()))


def _steps_outside(pixels: Array, quad: Array, rgb: Array, *, offset_px: float) -> Array:
    """Return (4,): beyond each side, ``offset_px`` away, the median step in colour from the patch, 0..255."""
    start, end = quad, np.roll(quad, -1, axis=0)
    along = start[:, None] + (end - start)[:, None] * np.linspace(0.2, 0.8, 9)[:, None]
    normal = np.column_stack([(end - start)[:, 1], -(end - start)[:, 0]])
    normal = normal / (np.linalg.norm(normal, axis=1, keepdims=True) + 1e-9)
    inward = np.sum(normal * (start - quad.mean(axis=0)), axis=1) < 0
    normal[inward] *= -1
    outside = np.round(along + normal[:, None] * offset_px).astype(int)
    columns = np.clip(outside[..., 0], 0, pixels.shape[1] - 1)
    rows = np.clip(outside[..., 1], 0, pixels.shape[0] - 1)
    return np.asarray(np.median(np.abs(pixels[rows, columns] - rgb).max(axis=2), axis=1))


def _distinct(found: list[tuple[Array, float]]) -> list[tuple[Array, float]]:
    """Return one of each set of quads on the same place, the best fitting."""
    found.sort(key=lambda entry: -entry[1])
    centres = np.array([quad.mean(axis=0) for quad, _ in found]).reshape(-1, 2)
    sides = np.sqrt([cv2.contourArea(quad.astype(np.float32)) for quad, _ in found])
    kept: list[int] = []
    for i in range(len(found)):
        near = np.linalg.norm(centres[kept] - centres[i], axis=1) < 0.3 * sides[i]
        if not (near & (np.abs(np.log(sides[kept] / sides[i])) < np.log(1.6))).any():
            kept.append(i)
    return [found[i] for i in kept]
