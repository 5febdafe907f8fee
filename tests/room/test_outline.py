"""Polygons: what is a simple outline and what is not."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from matcher.room.outline import outline_fault, outside_fault

SQUARE = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]


def test_simple_outlines() -> None:
    star = [(0, 0), (4, 3), (8, 0), (6, 5), (10, 9), (5, 7), (0, 9), (2, 5)]
    assert outline_fault(SQUARE) is None
    assert outline_fault(SQUARE[::-1]) is None
    assert outline_fault(star) is None


def test_outline_that_touches_itself_is_allowed() -> None:
    # Traced outlines run out along a thin part and back.
    assert outline_fault([(0, 0), (10, 0), (10, 10), (5, 10), (5, 15), (5, 10), (0, 10)]) is None


def test_a_closing_point_that_repeats_the_first_is_allowed() -> None:
    assert outline_fault([*SQUARE, SQUARE[0]]) is None


@pytest.mark.parametrize("points", [[], SQUARE[:1], SQUARE[:2]])
def test_too_few_points(points: list[tuple[float, float]]) -> None:
    assert f"this has {len(points)}" in str(outline_fault(points))


def test_figure_of_eight_names_its_edges() -> None:
    fault = outline_fault([(0, 0), (10, 10), (10, 0), (0, 10)])
    assert fault == "the outline crosses itself: the edge after point 1 and the edge after point 3"


def test_no_area() -> None:
    assert outline_fault([(0, 0), (5, 5), (10, 10)]) == "the outline encloses no area"


@given(count=st.integers(3, 40), seed=st.integers(0, 1000))
def test_star_shaped_polygons_never_cross(count: int, seed: int) -> None:
    rng = np.random.default_rng(seed)
    # Angles less than half a turn apart: a polygon seen whole from its middle cannot cross itself.
    angles = (np.arange(count) + rng.uniform(0.1, 0.9, count)) * 2 * np.pi / count
    radii = rng.uniform(20, 100, count)
    gaps = np.diff(np.append(angles, angles[0] + 2 * np.pi))
    if gaps.max() >= np.pi:
        return
    points = np.column_stack([np.cos(angles) * radii, np.sin(angles) * radii])
    assert outline_fault([(float(x), float(y)) for x, y in points]) is None


def test_outside_allows_the_very_edge_and_a_pixel_of_rounding() -> None:
    assert outside_fault([(0, 0), (200, 0), (200, 100)], (200, 100)) is None
    assert outside_fault([(-0.9, 0), (200.9, 0), (200, 100)], (200, 100)) is None


def test_outside_names_point_and_size() -> None:
    fault = outside_fault([(0, 0), (200, 0), (150, 102)], (200, 100))
    assert fault == "point (150, 102) lies outside the photo, which is 200 x 100 pixels when upright"
