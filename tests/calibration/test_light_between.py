"""Light between cards: weighted means, and their disagreement as doubt."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from matcher.calibration.light import Light
from matcher.calibration.light_between import light_between


def light(x: float, level: float, warmth: float = 0.0, sd: float = 0.0) -> Light:
    cones = np.array([level + warmth, level, level - warmth])
    return Light(np.array([x, 0.0]), 10.0, 1.0, cones, "somewhere", np.full((5, 3), level), (sd, 0.0))


def test_one_card_speaks_for_everywhere_by_daylight() -> None:
    only = light(0, 0.3, sd=0.1)
    found = light_between([only], np.array([500.0, 0]), lamp=0.0)
    np.testing.assert_array_equal(found.cones, only.cones)
    assert (found.on, found.card_sd) == (only.on, only.card_sd)


def test_lamp_light_from_above_is_less_elsewhere_and_of_one_colour() -> None:
    only = light(0, 0.3, 0.05)
    fallen = only.cones - light_between([only], np.array([500.0, 0]), lamp=1.0).cones
    assert 0.1 < fallen[1] < 0.4  # between nothing and the half that a front below a worktop gets
    np.testing.assert_allclose(fallen, fallen[1])
    half = only.cones - light_between([only], np.array([500.0, 0]), lamp=0.5).cones
    np.testing.assert_allclose(half, fallen / 2)


def test_a_guess_is_of_the_light_anywhere() -> None:
    guess = replace(light(0, 0.3), guess_sd=np.array([0.4, 0.05, 0.1]))
    assert light_between([guess], np.array([500.0, 0]), lamp=1.0) is guess


def test_midway_is_the_mean_and_its_doubt_the_difference() -> None:
    """Two cards a and b, equally far: mean (a + b) / 2, standard deviation |a - b| / 2."""
    found = light_between([light(0, 0.0, 0.1), light(100, 0.4, -0.1)], np.array([50.0, 0]), lamp=1.0)
    np.testing.assert_allclose(found.cones, [0.2, 0.2, 0.2], atol=1e-12)
    assert found.card_sd == pytest.approx((0.2, 0.1))
    np.testing.assert_allclose(found.curve_shift, np.full((5, 3), 0.2))
    assert found.on is None


def test_what_cards_leave_open_themselves_is_kept() -> None:
    found = light_between([light(0, 0.1, sd=0.3), light(100, 0.1, sd=0.3)], np.array([50.0, 0]), lamp=1.0)
    assert found.card_sd[0] == pytest.approx(0.3)


@given(
    levels=st.lists(st.floats(-3, 3), min_size=1, max_size=6),
    place=st.tuples(st.floats(-1e4, 1e4), st.floats(-1e4, 1e4)),
)
def test_never_brighter_than_the_brightest_nor_darker_than_the_darkest(
    levels: list[float], place: tuple[float, float]
) -> None:
    found = light_between([light(37.0 * i, level) for i, level in enumerate(levels)], np.array(place), lamp=0.0)
    assert min(levels) - 1e-9 <= found.cones[1] <= max(levels) + 1e-9
    assert found.card_sd[0] <= (max(levels) - min(levels)) / 2 + 1e-9


def test_cards_weigh_by_their_inverse_distance() -> None:
    """Shepard 1968, order 1, from the middle of a card and its width on; deviations as weighted second moments."""
    rng = np.random.default_rng(3)
    places = np.array([[0.0, 0.0], [300.0, 50.0], [100.0, 400.0]])
    lights = [
        replace(light(0, 0.0), position=p, cones=rng.normal(0, 0.3, 3), extent=e, foreshortening=f, card_sd=(0.05, 0.2))
        for p, e, f in zip(places, (20.0, 60.0, 40.0), (1.0, 0.5, 0.8), strict=True)
    ]
    spot = np.array([250.0, 150.0])
    weights = [1 / (np.hypot(*(each.position - spot)) + each.extent) for each in lights]
    cones = np.stack([each.cones for each in lights])
    found = light_between(lights, spot, lamp=1.0)
    np.testing.assert_allclose(found.cones, np.average(cones, axis=0, weights=weights))
    assert (*found.position, found.extent, found.foreshortening) == (300, 50, 60, 0.5)  # of the nearest
    level, first, third = (
        np.cov(each, aweights=weights, ddof=0) for each in (cones.T[1], *(cones[:, [0, 2]].T - cones[:, 1]))
    )
    assert found.card_sd == pytest.approx((np.sqrt(level + 0.05**2), np.sqrt((first + third) / 2 + 0.2**2)))
