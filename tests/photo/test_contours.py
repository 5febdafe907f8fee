"""Pieces of one surface, drawn as one: against skimage, an independent library, on masks of the same polygons."""

from __future__ import annotations

import numpy as np
import pytest
from skimage.draw import polygon2mask

from matcher.photo.contours import Polygon, joined

SIZE = (400, 300)
LEFT = [(50.0, 40.0), (200.0, 40.0), (200.0, 260.0), (50.0, 260.0)]


def shifted(polygon: Polygon, x: float) -> list[tuple[float, float]]:
    return [(corner[0] + x, corner[1]) for corner in polygon]


def covered(polygons: list[Polygon], size: tuple[int, int] = SIZE) -> np.ndarray:
    """Mask (H, W) of the area inside an odd number of the polygons."""
    inside = np.zeros(size[::-1], dtype=bool)
    for polygon in polygons:
        inside ^= polygon2mask(size[::-1], np.asarray(polygon)[:, ::-1])  # type: ignore[no-untyped-call]  # as skimage has it
    return inside


def test_one_piece_keeps_its_corners() -> None:
    assert joined([LEFT], SIZE) == [LEFT]
    assert joined([], SIZE) == []


@pytest.mark.parametrize(
    "step", [150.0, 149.0, 120.0, 151.0], ids=["touching", "a pixel over", "overlapping", "a hair"]
)
def test_pieces_that_border_on_each_other_have_no_seam(step: float) -> None:
    (contour,) = joined([LEFT, shifted(LEFT, step)], SIZE)
    x = np.array(contour)[:, 0]
    assert (x.min(), x.max()) == pytest.approx((50, 200 + step), abs=2)
    # No corner and no edge inside the area.
    assert np.all((x < 60) | (x > 190 + step))


def test_the_area_stays_what_it_was() -> None:
    slant = [(180.0, 60.0), (350.0, 120.0), (330.0, 290.0), (150.0, 200.0)]
    union = covered([LEFT]) | covered([slant])
    changed = covered(joined([LEFT, slant], SIZE)) ^ union
    assert changed.sum() < 0.02 * union.sum()


def test_pieces_apart_stay_apart_and_a_hole_between_pieces_is_drawn() -> None:
    assert len(joined([LEFT, shifted(LEFT, 160.0)], SIZE)) == 2
    frame = [(50.0, 40.0), (200.0, 40.0), (200.0, 90.0), (100.0, 90.0), (100.0, 210.0), (200.0, 210.0), (200.0, 260.0),
             (50.0, 260.0)]  # fmt: skip
    mirrored = [(400.0 - x, y) for x, y in frame]
    ring = joined([frame, mirrored], SIZE)
    assert len(ring) == 2
    assert not covered(ring)[150, 200]
    assert covered(ring)[65, 200]


def test_a_large_picture_is_joined_within_what_is_seen() -> None:
    """12 megapixels: corners within two thousandths of the longest side, and the edge of the picture is kept."""
    left = [(0.0, 0.0), (2000.0, 0.0), (2000.0, 3000.0), (0.0, 3000.0)]
    (contour,) = joined([left, shifted(left, 2008.0)], (4008, 3000))
    corners = np.array(contour)
    assert corners.min(axis=0) == pytest.approx((0, 0), abs=8)
    assert corners.max(axis=0) == pytest.approx((4008, 3000), abs=8)
    assert len(contour) == 4
