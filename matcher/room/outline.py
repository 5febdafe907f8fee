"""Is an outline a simple polygon: enough points, not crossing itself, enclosing something, inside the photo."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

_SMALLEST_AREA_PX = 1.0
FARTHEST_PX = 1e6  # beyond any picture that is read
# Assumption: a pointer set at the very edge may land a pixel outside by rounding.
_EDGE_SLACK_PX = 1.0

Points = Sequence[tuple[float, float]]


def outline_fault(points: Points) -> str | None:
    """Return what is wrong with a polygon in plain words, or None."""
    return _fault(tuple((x, y) for x, y in points))


# While one outline of a room is drawn, all its others are looked at again and again; a traced one of 600 points takes
# 30 ms.
@lru_cache(maxsize=1024)
def _fault(points: tuple[tuple[float, float], ...]) -> str | None:
    if len(points) < 3:
        return f"an outline needs at least 3 points, this has {len(points)}"
    vertices = np.asarray(points, dtype=float)
    if np.abs(vertices).max() > FARTHEST_PX:
        return "a point lies more than a million pixels away"
    crossing = _first_crossing(vertices)
    if crossing is not None:
        first, second = crossing
        return f"the outline crosses itself: the edge after point {first + 1} and the edge after point {second + 1}"
    if abs(_signed_area(vertices)) < _SMALLEST_AREA_PX:
        return "the outline encloses no area"
    return None


def outside_fault(points: Points, size: tuple[int, int]) -> str | None:
    """Return which point lies outside a photo of ``size`` (width, height), or None."""
    for x, y in points:
        inside = -_EDGE_SLACK_PX <= x <= size[0] + _EDGE_SLACK_PX and -_EDGE_SLACK_PX <= y <= size[1] + _EDGE_SLACK_PX
        if not inside:
            return f"point ({x:g}, {y:g}) lies outside the photo, which is {size[0]} x {size[1]} pixels when upright"
    return None


def _signed_area(vertices: NDArray[np.float64]) -> float:
    x, y = vertices.T
    return float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2


def _first_crossing(vertices: NDArray[np.float64]) -> tuple[int, int] | None:
    """Return the first two edges that properly cross; edges that only touch do not, traced outlines often do that."""
    start, end = vertices, np.roll(vertices, -1, axis=0)
    # side[i, j]: on which side of edge i the start of edge j lies.
    side_of_start = np.sign(_cross(end - start, start[None, :, :] - start[:, None, :]))
    side_of_end = np.sign(_cross(end - start, end[None, :, :] - start[:, None, :]))
    splits = side_of_start * side_of_end < 0
    both = np.argwhere(np.triu(splits & splits.T, k=1))
    return (int(both[0, 0]), int(both[0, 1])) if len(both) else None


def _cross(edge: NDArray[np.float64], to_point: NDArray[np.float64]) -> NDArray[np.float64]:
    return edge[:, None, 0] * to_point[..., 1] - edge[:, None, 1] * to_point[..., 0]
