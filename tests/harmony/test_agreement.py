"""Undertones that agree or fight. Judgements are common practice, no published source; bounds follow from the rule."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from matcher.harmony import agreement
from matcher.harmony.agreement import HIGHEST, LOWEST, undertone_agreement

OAK, CREAM, YELLOW_STONE, PINK_TILE = (55.0, 14, 28), (82.0, 2, 12), (75.0, 3, 18), (72.0, 7, 8)
GREIGE, PINK_BEIGE, YELLOW_GREEN_BEIGE = (76.0, 1, 6), (76.0, 5, 8), (76.0, -2, 12)
VIOLET_GREY, BLUE_GREY, GREEN_GREY, SAGE = (76.0, 1.5, -3), (76.0, -1, -4), (76.0, -4, 4), (62.0, -9, 9)
CONCRETE, TRUE_GREY, NAVY = (60.0, 0, 1), (76.0, 0, 0), (25.0, 0, -18)

coordinate = st.floats(-60, 60)
colours = st.tuples(st.floats(5, 98), coordinate, coordinate)


@pytest.mark.parametrize(
    ("paint", "fixed"),
    [
        (PINK_BEIGE, YELLOW_STONE),
        (YELLOW_GREEN_BEIGE, PINK_TILE),
        (VIOLET_GREY, OAK),
        (VIOLET_GREY, CREAM),
        (BLUE_GREY, CREAM),
    ],
)
def test_pairs_that_fight_in_the_trade(paint: tuple[float, ...], fixed: tuple[float, ...]) -> None:
    assert float(undertone_agreement(paint, fixed)) < -0.3


@pytest.mark.parametrize(
    ("paint", "fixed"), [(GREIGE, OAK), (GREIGE, CREAM), (PINK_BEIGE, PINK_TILE), (SAGE, OAK), (GREEN_GREY, OAK)]
)
def test_pairs_that_belong_together_in_the_trade(paint: tuple[float, ...], fixed: tuple[float, ...]) -> None:
    assert float(undertone_agreement(paint, fixed)) > 0.2


def test_a_hue_similarity_kernel_would_miss_pink_beside_yellow() -> None:
    """Pink beige is nearer in hue to yellow stone (23 degrees) than green-grey to oak (72), and yet it fights."""
    assert float(undertone_agreement(PINK_BEIGE, YELLOW_STONE)) < float(undertone_agreement(GREEN_GREY, OAK))


@pytest.mark.parametrize("paint", [BLUE_GREY, VIOLET_GREY, PINK_BEIGE, GREEN_GREY])
def test_a_nearly_neutral_floor_accepts_any_undertone(paint: tuple[float, ...]) -> None:
    assert abs(float(undertone_agreement(paint, CONCRETE))) < 0.05


@given(fixed=colours, lightness=st.floats(5, 98))
def test_a_grey_paint_neither_agrees_nor_fights(fixed: tuple[float, ...], lightness: float) -> None:
    assert float(undertone_agreement((lightness, 0.0, 0.0), fixed)) == pytest.approx(0, abs=1e-9)


def test_a_clearly_deliberate_contrast_is_no_clash() -> None:
    assert float(undertone_agreement(NAVY, CREAM)) > -0.1
    assert float(undertone_agreement((70.0, 3, -5), CREAM)) < -0.4


def test_the_brown_of_a_nearly_black_timber_is_no_pink_undertone() -> None:
    """Common practice, no source: dark brown cabinets (h' 41, C* 6) take a greige, as any dark timber does."""
    espresso, walnut = (20.0, 4, 5), (36.0, 9, 15)
    assert float(undertone_agreement((82.0, 1, 8), espresso)) > 0
    assert float(undertone_agreement((82.0, 1, 8), walnut)) > 0.2
    assert float(undertone_agreement((82.0, 4, -5), espresso)) < -0.2


def test_a_pale_paint_is_hardly_compared_with_the_undertone_of_a_dark_fleck() -> None:
    """A brown granite's dark fleck refuses no sage; the same undertone in a mid stone would."""
    sage, dark, mid = (74.0, -4, 9), (32.0, 4, 6), (65.0, 4, 6)
    assert float(undertone_agreement(sage, dark)) > -0.2
    assert float(undertone_agreement(sage, mid)) < -0.3


@pytest.mark.parametrize("fixed", [OAK, CREAM, YELLOW_STONE])
def test_a_strong_purple_is_no_clash_and_yet_no_navy(fixed: tuple[float, ...]) -> None:
    purple, navy = float(undertone_agreement((50.0, 20, -14), fixed)), float(undertone_agreement((50.0, 0, -24), fixed))
    assert -0.15 < purple < navy - 0.05


@given(paint=colours, fixed=colours)
def test_bounds(paint: tuple[float, ...], fixed: tuple[float, ...]) -> None:
    assert LOWEST <= float(undertone_agreement(paint, fixed)) <= HIGHEST


@given(paint=colours, fixed=colours)
def test_no_jump_between_colours_that_look_the_same(paint: tuple[float, ...], fixed: tuple[float, ...]) -> None:
    """A hundredth of a CIELAB unit moves the agreement by less than a hundredth."""
    moved = np.add(paint, (0.0, 0.007, -0.007))
    assert abs(float(undertone_agreement(moved, fixed) - undertone_agreement(paint, fixed))) < 0.01


def test_half_a_unit_of_reading_noise_moves_it_little() -> None:
    rng = np.random.default_rng(5)
    noisy = np.add(GREIGE, rng.normal(0, 0.5, (500, 3)) * (0, 1, 1))
    assert float(undertone_agreement(noisy, OAK).std()) < 0.08


def test_the_even_table_beside_warm_colours_says_what_the_uneven_one_does() -> None:
    """Against numpy.interp on the table as it is written down, all round the circle and once more."""
    offset = np.linspace(-360, 360, 7201)
    expected = np.interp(offset, agreement._WARM_OFFSET_DEG, agreement._WARM_AGREEMENT, period=360)
    assert agreement._beside_warm(offset) == pytest.approx(expected, abs=1e-12)
    assert agreement._beside_warm(offset.astype(np.float32)) == pytest.approx(expected, abs=2e-6)
