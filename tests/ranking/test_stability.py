"""Surfaces drawn within their doubt."""

from __future__ import annotations

import numpy as np

from matcher.colorimetry.symmetric_root import symmetric_root
from matcher.ranking.givens import gather
from matcher.ranking.stability import draw_surfaces
from matcher.surfaces.surface import Surface


def test_the_root_is_a_root_and_takes_like_colours_one_way() -> None:
    """R R = C, R symmetric: unlike a root by eigenvectors it has no sign or order to choose."""
    one = np.array([[4.0, 1, 0.2], [1, 1, 0], [0.2, 0, 2]])
    near = one + 1e-6
    np.testing.assert_allclose(symmetric_root(one) @ symmetric_root(one), one, atol=1e-12)
    np.testing.assert_allclose(symmetric_root(one), symmetric_root(one).T, atol=1e-12)
    np.testing.assert_allclose(symmetric_root(near), symmetric_root(one), atol=1e-5)


def test_the_share_of_each_colour_moves_the_mean(kitchen: tuple[Surface, ...]) -> None:
    """The mean of a surface moves as its colours do, each by its share."""
    givens = gather(kitchen)
    drawn = draw_surfaces(givens, 50, 1)
    for place, surface in enumerate(givens.surfaces):
        columns = givens.columns(place)
        moved = drawn.lab[:, columns] - givens.lab[columns]
        shares = np.array([c.share for c in sorted(surface.colours, key=lambda c: -c.share)])
        np.testing.assert_allclose(
            drawn.surface_lab[:, place] - surface.lab, np.einsum("dki,k->di", moved, shares), atol=1e-3
        )
