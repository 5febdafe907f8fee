"""Is an outline a simple polygon: enough points, not crossing itself, enclosing something, inside the photo."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

_SMALLEST_AREA_PX = 1.0
# A traced outline has some 30 points, a hand that draws all round a photo leaves some hundreds (assumption); with as
# many as these the check takes 0.4 s at worst, and 1 ms for one drawn by hand.
MOST_POINTS = 2000
# Pairs of edges looked at together: as much memory as a small photo.
_PAIRS_AT_ONCE = 1 << 18
FARTHEST_PX = 1e6  # beyond any picture that is read
# Assumption: a pointer set at the very edge may land a pixel outside by rounding.
_EDGE_SLACK_PX = 1.0

Points = Sequence[tuple[float, float]]
Indices = NDArray[np.intp]


def outline_fault(points: Points) -> str | None:
    """Return what is wrong with a polygon in plain words, or None."""
    return _fault(tuple((x, y) for x, y in points))


# While one outline of a room is drawn, all its others are looked at again and again.
@lru_cache(maxsize=256)
def _fault(points: tuple[tuple[float, float], ...]) -> str | None:
    if len(points) < 3:
        return f"an outline needs at least 3 points, this has {len(points)}"
    if len(points) > MOST_POINTS:
        return f"the outline has {len(points):,} points, more than {MOST_POINTS:,}; trace it with fewer"
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
    low, high = np.minimum(start, end), np.maximum(start, end)
    count = len(vertices)
    least = none = count * count  # the pair as one number, first edge first
    for one, other in _pairs_side_by_side(low[:, 0], high[:, 0]):
        # Edges can cross only where their boxes meet; most pairs of a traced outline end here.
        near = (low[one, 1] <= high[other, 1]) & (low[other, 1] <= high[one, 1])
        first, second = np.minimum(one, other)[near], np.maximum(one, other)[near]
        crossing = _splits(start, end, first, second) & _splits(start, end, second, first)
        least = min(least, int(np.min(first[crossing] * count + second[crossing], initial=least)))
    return divmod(least, count) if least < none else None


def _pairs_side_by_side(left: NDArray[np.float64], right: NDArray[np.float64]) -> Iterator[tuple[Indices, Indices]]:
    """Yield every pair of intervals ``left`` to ``right`` that overlap, in blocks, each pair once.

    In the order of their left ends, an interval's partners are those that begin before it is over.
    """
    order = np.argsort(left, kind="stable")
    partners = np.searchsorted(left[order], right[order], side="right") - np.arange(len(order)) - 1
    up_to = np.cumsum(partners)
    begun = 0
    while begun < len(order):
        done = up_to[begun - 1] if begun else 0
        # One interval at least, however many partners it has.
        ended = max(int(np.searchsorted(up_to, done + _PAIRS_AT_ONCE, side="right")), begun + 1)
        counts = partners[begun:ended]
        one = np.repeat(np.arange(begun, ended), counts)
        within = np.arange(len(one)) - np.repeat(np.cumsum(counts) - counts, counts)
        yield order[one], order[one + 1 + within]
        begun = ended


def _splits(start: NDArray[np.float64], end: NDArray[np.float64], edge: Indices, other: Indices) -> NDArray[np.bool_]:
    """Tell of each pair whether ``other`` begins and ends on two sides of the line through ``edge``."""
    along = end[edge] - start[edge]
    before = np.sign(_cross(along, start[other] - start[edge]))
    after = np.sign(_cross(along, end[other] - start[edge]))
    return np.asarray(before * after < 0)


def _cross(edge: NDArray[np.float64], to_point: NDArray[np.float64]) -> NDArray[np.float64]:
    return edge[:, 0] * to_point[:, 1] - edge[:, 1] * to_point[:, 0]
