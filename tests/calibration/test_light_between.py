"""Light between cards: weighted means, and their disagreement as doubt."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from matcher.calibration.light import Light
from matcher.calibration.light_between import light_between


def light(x: float, level: float, warmth: float = 0.0, sd: float = 0.0) -> Light:
    cones = np.array([level + warmth, level, level - warmth])
    return Light(np.array([x, 0.0]), 10.0, 1.0, cones, "somewhere", np.full((3, 3), level), (sd, 0.0))


def test_one_card_speaks_for_everywhere() -> None:
    only = light(0, 0.3, sd=0.1)
    assert light_between([only], np.array([500.0, 0])) is only


def test_midway_is_the_mean_and_its_doubt_the_difference() -> None:
    """Two cards a and b, equally far: mean (a + b) / 2, standard deviation |a - b| / 2."""
    found = light_between([light(0, 0.0, 0.1), light(100, 0.4, -0.1)], np.array([50.0, 0]))
    np.testing.assert_allclose(found.cones, [0.2, 0.2, 0.2], atol=1e-12)
    assert found.card_sd == pytest.approx((0.2, 0.1))
    np.testing.assert_allclose(found.curve_shift, np.full((3, 3), 0.2))
    assert found.on is None


def test_what_cards_leave_open_themselves_is_kept() -> None:
    found = light_between([light(0, 0.1, sd=0.3), light(100, 0.1, sd=0.3)], np.array([50.0, 0]))
    assert found.card_sd[0] == pytest.approx(0.3)


@given(
    levels=st.lists(st.floats(-3, 3), min_size=1, max_size=6),
    place=st.tuples(st.floats(-1e4, 1e4), st.floats(-1e4, 1e4)),
)
def test_never_brighter_than_the_brightest_nor_darker_than_the_darkest(
    levels: list[float], place: tuple[float, float]
) -> None:
    found = light_between([light(37.0 * i, level) for i, level in enumerate(levels)], np.array(place))
    assert min(levels) - 1e-9 <= found.cones[1] <= max(levels) + 1e-9
    assert found.card_sd[0] <= (max(levels) - min(levels)) / 2 + 1e-9
