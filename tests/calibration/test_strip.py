"""Where the fields of a strip lie: against scikit-image's homography, over quadrilaterals drawn at random."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.spatial import ConvexHull
from skimage.transform import ProjectiveTransform

from matcher.calibration.strip import OF_CHIP, OF_STEP, Outline, strip_fault, strip_fields
from matcher.colorimetry.spaces import Floats

SQUARE = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])


def outline(points: Floats) -> Outline:
    return tuple((float(x), float(y)) for x, y in points)


def drawn(seed: int) -> Floats:
    """Four corners of a strip seen from somewhere, in the order in which they lie round it."""
    rng = np.random.default_rng(seed)
    points = SQUARE * rng.uniform(60, 600, 2) + rng.uniform(0, 400, 2)
    points += rng.normal(0, 0.12, (4, 2)) * np.ptp(points, axis=0)
    points = points[:: rng.choice([1, -1])]
    return np.roll(points, int(rng.integers(4)), axis=0)


def convex(points: Floats) -> bool:
    """Whether the corners in their order are their own convex hull (SciPy, by Qhull)."""
    hull: NDArray[np.intp] = ConvexHull(points).vertices
    if len(hull) < 4:
        return False
    steps = set(np.diff([*hull.tolist(), hull[0]]) % 4)
    return steps in ({1}, {3})


@pytest.mark.parametrize("inner", [OF_STEP, OF_CHIP])
def test_fields_lie_where_a_homography_puts_them_along_the_longer_pair_of_sides(inner: tuple[float, float]) -> None:
    for points in [each for each in map(drawn, range(60)) if convex(each)]:
        sides = np.linalg.norm(points - np.roll(points, -1, axis=0), axis=1)
        first = 0 if sides[[0, 2]].sum() > sides[[1, 3]].sum() else 1
        to_photo = ProjectiveTransform.from_estimate(SQUARE, np.roll(points, -first, axis=0))
        middles = to_photo([[(index + 0.5) / 5, 0.5] for index in range(5)])
        found = [np.array(field) for field in strip_fields(outline(points), 5, inner)]
        expected = [to_photo((np.array([index + 0.5, 0.5]) + (2 * SQUARE - 1) * inner) / [5, 1]) for index in range(5)]
        # From which end is left open, and so is the corner that a field begins with.
        if np.linalg.norm(found[0].mean(axis=0) - middles[0]) > np.linalg.norm(found[0].mean(axis=0) - middles[4]):
            expected = expected[::-1]
        for field, corners in zip(found, expected, strict=True):
            apart = np.linalg.norm(field[:, None] - corners, axis=2)
            assert apart.min(axis=0).max() < 0.02
            assert apart.min(axis=1).max() < 0.02
            assert convex(field)


def test_four_corners_in_their_order_are_a_strip_when_they_are_their_own_hull() -> None:
    """Whatever its size: the unit is not asked for."""
    rng = np.random.default_rng(2)
    found = []
    for _ in range(60):
        points = rng.uniform(-1, 1, (4, 2)) * 10.0 ** rng.uniform(-2, 3)
        found.append(strip_fault(outline(points)) is None)
        assert found[-1] == convex(points)
    assert 5 < sum(found) < 55


@pytest.mark.parametrize("order", [1, -1])
def test_a_corner_on_the_line_between_its_neighbours_is_none(order: int) -> None:
    assert strip_fault(outline(np.array([[0.0, 0.0], [1.0, 0.0], [2.0, 0.0], [0.0, 1.0]])[::order])) is not None
