"""From a few strokes over a surface to outlines of the whole of it, for a person to correct."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from matcher.colorimetry.spaces import Floats
from matcher.outlining.region_graph import RegionGraph, Stroke, bottleneck_distance, filled_mask, stroke_mask, texture
from matcher.room.outline import outline_fault

Outline = list[tuple[float, float]]

# Assumptions, fitted to the sample photos' outlines (overlap: tests/surfaces/test_proposal.py): how unlike the strokes
# a patch may be half way along the slider, in weighted CIELAB units, plain surfaces and per unit of their texture.
_PLAIN_REACH = 1.4
_REACH_PER_TEXTURE = 5.6
_REACH_RANGE = 4.0  # the slider's ends, as a factor
_SMOOTHING = 3  # reduced pixels: thinner bridges and gaps are not part of a surface's shape
_MOST_VERTICES = 24  # more than a person wants to correct
_FIRST_DEVIATION = 2.0  # reduced pixels an outline may leave the region's edge by, before it gets too many vertices
_LARGE_HOLE = 0.03  # of the region: what stands in front is left out when it takes up more than this
_MOST_CUTS = 8
# Times the reach: a single tile or board among those that belong belongs too when it is not quite as unlike as what
# stands in front of them.
_ENCLOSED_REACH = 2.0
_CARD_MARGIN = 4  # reduced pixels: rim and shadow of a card, and what an outline of few points cuts off
_SMALLEST_PART = 12.0  # reduced pixels


def propose_outlines(
    graph: RegionGraph,
    include: Sequence[Stroke],
    exclude: Sequence[Stroke],
    tolerance: float,
    *,
    cards: Sequence[Stroke] = (),
) -> list[Outline]:
    """Return outlines (full-size pixels, one place after the point) of what ``include`` runs over, largest first.

    ``exclude`` runs over what does not belong; ``tolerance`` 0..1 says how unlike the strokes a part may be. Each
    outline passes :func:`matcher.room.outline.outline_fault`, lies inside the photo and has at most 24 vertices. What
    ``cards`` outline, polygons, is part of none, whatever runs over it. No include stroke inside the photo and beside
    the cards: no outline.
    """
    covered = filled_mask(graph, cards, margin=_CARD_MARGIN)
    painted = stroke_mask(graph, include) & (1 - covered)
    # A patch half under a card has the colour of both.
    half_covered = np.unique(graph.labels[covered > 0])
    seeds = np.unique(graph.labels[painted > 0])
    seeds = seeds if np.isin(seeds, half_covered).all() else np.setdiff1d(seeds, half_covered)
    if not len(seeds):
        return []
    barred = np.setdiff1d(np.unique(graph.labels[stroke_mask(graph, exclude) > 0]), seeds)
    near = bottleneck_distance(graph, seeds)
    middle = _PLAIN_REACH + _REACH_PER_TEXTURE * texture(graph, seeds)
    reach = middle * _REACH_RANGE ** (2 * min(max(tolerance, 0.0), 1.0) - 1)
    belongs = (near <= reach) & (near < bottleneck_distance(graph, barred))
    whole = _smooth(belongs[graph.labels] | (covered > 0), painted)
    _fill_what_is_alike(whole, (near <= _ENCLOSED_REACH * reach) & ~np.isin(np.arange(len(near)), barred), graph)
    region = whole & (1 - covered)
    parts = [part for piece in _parts(region) for part in _without_large_holes(piece, covered)]
    outlines = [outline for part in parts if (outline := _outline(part, graph)) is not None]
    return sorted(outlines, key=lambda outline: -_area(outline))


def _smooth(region: NDArray[np.bool_], painted: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Return the region without thin bridges and gaps, and only what of it the strokes run over."""
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * _SMOOTHING + 1, 2 * _SMOOTHING + 1))
    closed = cv2.morphologyEx(region.astype(np.uint8), cv2.MORPH_CLOSE, disc)
    opened = cv2.morphologyEx(closed, cv2.MORPH_OPEN, disc)
    # A surface thinner than the disc is kept as it is.
    solid = opened if np.any((opened > 0) & (painted > 0)) else closed
    _, labels = cv2.connectedComponents(solid, connectivity=4)
    touched = np.unique(labels[(painted > 0) & (solid > 0)])
    return np.isin(labels, touched[touched > 0]).astype(np.uint8)


def _fill_what_is_alike(region: NDArray[np.uint8], alike: NDArray[np.bool_], graph: RegionGraph) -> None:
    """Take in, in place, what the region encloses and what is mostly ``alike`` (N,) by patches."""
    outside, labels, stats, _ = cv2.connectedComponentsWithStats(1 - region, connectivity=4)
    border = np.unique(np.concatenate([labels[0], labels[-1], labels[:, 0], labels[:, -1]]))
    share = np.bincount(labels.ravel(), alike[graph.labels].ravel(), minlength=outside) / stats[:, cv2.CC_STAT_AREA]
    enclosed = np.setdiff1d(np.flatnonzero(share > 0.5), [0, *border])
    region[np.isin(labels, enclosed)] = 1


def _parts(mask: NDArray[np.uint8]) -> list[NDArray[np.uint8]]:
    count, labels, stats, _ = cv2.connectedComponentsWithStats(mask, connectivity=4)
    large = [i for i in range(1, count) if stats[i, cv2.CC_STAT_AREA] >= _SMALLEST_PART]
    return [(labels == i).astype(np.uint8) for i in large]


def _without_large_holes(part: NDArray[np.uint8], covered: NDArray[np.uint8]) -> list[NDArray[np.uint8]]:
    """Cut a part through its large holes, and where it is ``covered``, for an outline has none; return the pieces."""
    waiting, done, cuts = [part], [], 0
    while waiting:
        piece = waiting.pop()
        column = _column_through_hole(piece, covered) if cuts < _MOST_CUTS else None
        if column is None:
            done.append(piece)
            continue
        cuts += 1
        piece[:, column] = 0
        waiting += _parts(piece)
    return done


def _column_through_hole(piece: NDArray[np.uint8], covered: NDArray[np.uint8]) -> int | None:
    contours, hierarchy = cv2.findContours(piece, cv2.RETR_CCOMP, cv2.CHAIN_APPROX_SIMPLE)
    least = _LARGE_HOLE * np.count_nonzero(piece)
    holes = [
        contour
        for contour, tie in zip(contours, hierarchy[0], strict=True)
        if tie[3] >= 0 and (cv2.contourArea(contour) >= least or _is_covered(contour, covered))
    ]
    if not holes:
        return None
    largest = max(holes, key=cv2.contourArea)
    left, _, width, _ = cv2.boundingRect(largest)
    return left + width // 2


def _is_covered(contour: NDArray[np.integer[Any] | np.floating[Any]], covered: NDArray[np.uint8]) -> bool:
    left, top, width, height = cv2.boundingRect(contour)
    return bool(covered[top + height // 2, left + width // 2])


def _outline(part: NDArray[np.uint8], graph: RegionGraph) -> Outline | None:
    contours, _ = cv2.findContours(part, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    contour = max(contours, key=cv2.contourArea)
    deviation = _FIRST_DEVIATION
    while deviation < max(part.shape):
        outline = _full_size(cv2.approxPolyDP(contour, deviation, closed=True)[:, 0], graph)
        if len(outline) < 3:
            return None
        if len(outline) <= _MOST_VERTICES and outline_fault(outline) is None:
            return outline
        deviation *= 1.25
    return None


def _full_size(points: NDArray[np.integer[Any] | np.floating[Any]], graph: RegionGraph) -> Outline:
    # A contour runs through the middles of the region's border pixels.
    full: Floats = np.round((points + 0.5) / graph.scale, 1)
    return [(float(x), float(y)) for x, y in full]


def _area(outline: Outline) -> float:
    return float(cv2.contourArea(np.asarray(outline, dtype=np.float32)))
