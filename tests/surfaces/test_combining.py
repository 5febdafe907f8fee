"""Several readings of one surface as one surface."""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest
from numpy.typing import ArrayLike

from matcher.colorimetry.spaces import lab_to_xyz, xyz_to_lab
from matcher.surfaces.combining import combine
from matcher.surfaces.reading import SurfaceReading
from matcher.surfaces.surface import SurfaceColour


def reading(*colours: tuple[ArrayLike, ArrayLike, float], own_card: bool = True) -> SurfaceReading:
    """A reading of (lab, covariance or sigmas, share) colours."""
    made = []
    for lab, spread, share in colours:
        given = np.asarray(spread, dtype=float)
        covariance = given if given.ndim == 2 else np.diag(given**2)
        made.append(SurfaceColour(np.asarray(lab, dtype=float), covariance, share, "field"))
    return SurfaceReading(
        name="floor",
        material="tile",
        colours=tuple(made),
        area=1000.0,
        photo_area=10000.0,
        whole_room=False,
        own_card=own_card,
        colour_drift=0.0,
    )


def test_two_readings_weigh_by_their_doubt() -> None:
    """Inverse-variance weighted mean, by hand: L* 60 +- 1 and 66 +- 2 give (60 / 1 + 66 / 4) / (1 / 1 + 1 / 4) = 61.2.

    Its sigma is 1 / sqrt(1 / 1 + 1 / 4) = 0.8944. Bevington & Robinson 2003, eq. 4.17 and 4.19 (numbers from memory).
    """
    found = combine([reading(([60, 4, 8], [1, 1, 1], 1.0)), reading(([66, 4, 8], [2, 2, 2], 1.0))], 0.5)
    np.testing.assert_allclose(found.colours[0].lab, [61.2, 4, 8])
    np.testing.assert_allclose(np.sqrt(np.diag(found.colours[0].covariance)), 0.894427, rtol=1e-6)


def test_correlated_doubts_weigh_as_matrices() -> None:
    """(P1 + P2)^-1 (P1 x1 + P2 x2) with P the inverse covariances, its covariance (P1 + P2)^-1."""
    one = np.array([[4.0, 1.0, 0.2], [1.0, 1.0, 0.0], [0.2, 0.0, 2.0]])
    two = np.array([[1.0, -0.5, 0.0], [-0.5, 3.0, 0.4], [0.0, 0.4, 1.5]])
    x1, x2 = np.array([60.0, 5, 10]), np.array([62.0, 3, 12])
    expected_covariance = np.linalg.inv(np.linalg.inv(one) + np.linalg.inv(two))
    expected = expected_covariance @ (np.linalg.inv(one) @ x1 + np.linalg.inv(two) @ x2)
    found = combine([reading((x1, one, 1.0)), reading((x2, two, 1.0))], 0.5).colours[0]
    np.testing.assert_allclose(found.lab, expected)
    np.testing.assert_allclose(found.covariance, expected_covariance)


def test_three_readings_in_any_order_give_the_same() -> None:
    readings = [reading(([60 + 2 * i, 4, 8], [1 + i, 1, 1], 1.0)) for i in range(3)]
    found = [combine(order, 0.5).colours[0].lab for order in permutations(readings)]
    np.testing.assert_allclose(found, np.broadcast_to(found[0], (6, 3)), atol=1e-9)
    weights = 1 / np.array([1, 4, 9])
    assert found[0][0] == pytest.approx((weights @ [60, 62, 64]) / weights.sum())


def test_colours_are_matched_by_what_they_are_and_not_by_their_order() -> None:
    """Grout is the second colour of one reading and the first of the other's close-up."""
    glaze, grout = [40, -15, 8], [88, 0, 5]
    found = combine(
        [reading((glaze, [1] * 3, 0.8), (grout, [1] * 3, 0.2)), reading((glaze, [2] * 3, 0.7), (grout, [2] * 3, 0.3))],
        0.5,
    )
    np.testing.assert_allclose([c.lab for c in found.colours], [glaze, grout], atol=1e-9)
    assert all(np.trace(c.covariance) < 3 for c in found.colours)


def test_a_colour_that_only_one_photo_shows_stays_as_read() -> None:
    found = combine(
        [reading(([80, 0, 5], [1] * 3, 0.9), ([40, 2, 3], [1] * 3, 0.1)), reading(([80, 0, 5], [3] * 3, 1.0))], 0.5
    )
    np.testing.assert_allclose(found.colours[1].lab, [40, 2, 3])
    np.testing.assert_allclose(found.colours[1].covariance, np.eye(3))


def test_the_mean_of_a_surface_is_mixed_as_light() -> None:
    """Half black, half white reflects half of the light: L* 76.07, not 50."""
    found = combine([reading(([100, 0, 0], [1] * 3, 0.5), ([0, 0, 0], [1] * 3, 0.5))], 1.0)
    np.testing.assert_allclose(found.lab, [76.07, 0, 0], atol=0.01)
    np.testing.assert_allclose(found.lab, xyz_to_lab(lab_to_xyz(np.array([100.0, 0, 0])) / 2), atol=1e-6)


def test_a_card_in_any_of_the_photos_counts() -> None:
    colours = ([60, 0, 0], [1] * 3, 1.0)
    assert combine([reading(colours), reading(colours, own_card=False)], 0.5).has_own_card
    assert not combine([reading(colours, own_card=False)], 0.5).has_own_card
