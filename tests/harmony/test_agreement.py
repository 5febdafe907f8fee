"""Undertones that agree or fight. Judgements are common practice, no published source; bounds follow from the rule."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from matcher.harmony import agreement
from matcher.harmony.agreement import (
    HIGHEST,
    LOWEST,
    deliberate_contrast,
    saturation,
    undertone_agreement,
    wheel_distance,
)
from matcher.harmony.tint import tint
from tests.harmony.tints import a_tint, soft

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


def test_steps_of_the_wheel_are_as_long_as_the_module_says() -> None:
    """Pink (40) to yellow (76) 69 and so on, to a unit; round the shorter way, and a turn is no way."""
    ways = wheel_distance([40.0, 76, 145, 255], [76.0, 145, 255, 305])
    np.testing.assert_allclose(ways, [69, 33, 40, 48], atol=1)
    hue = np.random.default_rng(3).uniform(0, 360, (3, 400))
    first, second, third = hue
    np.testing.assert_allclose(wheel_distance(first, second), wheel_distance(second, first))
    assert wheel_distance(0.0, 360.0) == pytest.approx(0)
    assert (wheel_distance(first, third) <= wheel_distance(first, second) + wheel_distance(second, third) + 1e-9).all()
    assert 147 < wheel_distance(first[:, None], second).max() <= 148


def test_undertones_agree_by_how_far_they_lie_apart_on_the_wheel() -> None:
    """Of two mid greys whose lean is plain: kin in full to 8 steps, a full fight from 75, as far as they are seen."""
    hue = np.linspace(0, 355, 72)
    mid, other = a_tint(60, 4, hue[:, None]), a_tint(60, 4, hue)
    expected = HIGHEST + (LOWEST - HIGHEST) * soft(wheel_distance(hue[:, None], hue), 8, 75)
    np.testing.assert_allclose(agreement.agreement(mid, other), expected, atol=1e-6)
    quiet, kin = a_tint(60, 4, 50, 0.36), a_tint(60, 4, 50)
    assert float(agreement.agreement(quiet, kin)) == pytest.approx(0.6 * HIGHEST, abs=1e-6)
    assert float(agreement.agreement(kin, quiet)) == pytest.approx(0.36 * HIGHEST, abs=1e-6)


@pytest.mark.parametrize("product", [1.5, 1.8, 3.0, 5.0, 6.5, 9.0])
def test_two_tints_that_are_hardly_seen_do_not_fight(product: float) -> None:
    """By the product of their visibilities s, of which the gate is s^2 / (1 + s^2): none to 1.8, in full from 6.5."""
    for one in (0.8, 2.0):
        seen = np.square([one, product / one])
        first, second = seen / (1 + seen)
        found = float(agreement.agreement(a_tint(60, 4, 50, first), a_tint(60, 4, 200, second)))
        assert found == pytest.approx(LOWEST * first * second * float(soft(product, 1.8, 6.5)), abs=1e-9)


def test_chroma_counts_for_more_in_the_dark_and_in_black_no_more_than_at_20() -> None:
    """A dark walnut of C* 14 is a brown, a pale stone of C* 14 a cream: in proportion to L*, as it is at L* 60."""
    np.testing.assert_allclose(saturation(a_tint([90.0, 60, 30, 20, 10, 0], 14, 60)), [28 / 3, 14, 28, 42, 42, 42])


def test_beside_any_other_real_colour_only_opposite_undertones_disturb() -> None:
    """As the module says: beside a strong blue 0.5 to 20 steps of its wheel, -0.35 from 130, and mild between."""
    blue, hue = a_tint(60, 40, 255), np.linspace(0, 355, 72)
    apart = wheel_distance(hue, 255)
    expected = 0.5 - 0.85 * soft(apart, 20, 130)
    np.testing.assert_allclose(agreement.agreement(a_tint(60, 4, hue), blue), expected, atol=1e-6)
    assert expected.max() == 0.5
    assert expected.min() < -0.1


def test_between_an_undertone_and_a_real_colour_lies_a_mixture_of_both() -> None:
    """From C* 13 to 24 at L* 60, and at other lightnesses as far as they are as saturated."""
    for lightness in (40.0, 60.0):
        chroma = np.linspace(8, 30, 23) * lightness / 60
        found = agreement.agreement(a_tint(60, 4, 120), a_tint(lightness, chroma, 60))
        grey, colour = found[0], found[-1]
        np.testing.assert_allclose(found, grey + (colour - grey) * soft(chroma * 60 / lightness, 13, 24), atol=1e-6)
        assert abs(grey - colour) > 0.05


@pytest.mark.parametrize(("off_deg", "warm"), [(0, 1), (36, 1), (-36, 1), (61, 0), (-61, 0)])
def test_timber_is_warm_within_37_degrees_of_orange(off_deg: float, warm: float) -> None:
    """Beside a warm colour a yellow-green calms and a blue of the other side does not; beside others by the wheel."""
    fixed = a_tint(60, 40, 55 + off_deg)
    calm = a_tint(60, 4, 55 + off_deg + 45)
    other = 0.5 - 0.85 * float(soft(wheel_distance(calm.hue_deg, fixed.hue_deg), 20, 130))
    assert float(agreement.agreement(calm, fixed)) == pytest.approx(0.5 if warm else other, abs=1e-6)
    # Between them both have a part: half way between the cosines.
    between = np.degrees(np.arccos(0.65)) * np.sign(off_deg or 1)
    fixed, calm = a_tint(60, 40, 55 + between), a_tint(60, 4, 100 + between)
    other = 0.5 - 0.85 * float(soft(wheel_distance(calm.hue_deg, fixed.hue_deg), 20, 130))
    assert float(agreement.agreement(calm, fixed)) == pytest.approx((0.5 + other) / 2, abs=1e-6)


def test_a_pale_clean_mint_does_not_calm_a_red_timber_as_a_sage_does() -> None:
    """Common practice, no source: beside cherry the mint shouts, beside oak it does not, and a sage calms both."""
    cherry, oak = (40.0, 24.0, 20.0), (60.0, 13.0, 36.0)
    mint, sage, pale_sage = (86.0, -15.0, 1.5), (62.0, -9.0, 9.0), (86.0, -5.0, 6.0)
    assert float(undertone_agreement(mint, cherry)) < -0.2
    assert min(float(undertone_agreement(each, cherry)) for each in (sage, pale_sage)) > 0.3
    assert float(undertone_agreement(mint, oak)) > 0.2


def test_how_far_a_mint_shouts() -> None:
    """In full from L* 82 and C* 13 on, none by 72 and 8; within 36 degrees of h' 175, none beyond 60; beside a red of
    h' 50 and less, none from 62. Against a paint that lies as far from a timber of h' 70, which is as warm and not red.
    """

    def lost(lightness: float = 90.0, chroma: float = 13.2, hue_deg: float = 175.0, red: float = 49.0) -> float:
        # Both as plain as to keep the sum within its bounds.
        timber = a_tint(60, 40, np.array([red, 70.0]), 0.3)
        mint, other = agreement.agreement(a_tint(lightness, chroma, [hue_deg, hue_deg + 70 - red]), timber)
        return float(other - mint)

    whole = lost()
    # By a whole unit of agreement, of which three tenths are seen.
    assert whole == pytest.approx(0.3, abs=0.01)
    full = (lost(lightness=82.0), lost(chroma=13.0), lost(hue_deg=211.0), lost(hue_deg=139.0), lost(red=40.0))
    none = (lost(lightness=72.0), lost(chroma=8.0), lost(hue_deg=114.0), lost(hue_deg=236.0), lost(red=62.0))
    half = (lost(lightness=77.0), lost(chroma=10.5), lost(red=56.0))
    for share, found in ((1.0, full), (0.0, none), (0.5, half)):
        assert found == pytest.approx([share * whole] * len(found), abs=0.02 * whole)


def test_a_full_fight_is_the_most_there_is() -> None:
    """The bounds again, where they are nearest: pale greens beside reds."""
    paints, reds = (
        np.random.default_rng(0)
        .uniform([(70, -30, -20), (20, 10, -10)], [(98, 0, 20), (80, 50, 40)], (4000, 2, 3))
        .swapaxes(0, 1)
    )
    assert undertone_agreement(paints, reds).min() == LOWEST


def _meant(lightness: float, saturated: float, hue_deg: float, fixed_hue_deg: float = 145.0) -> float:
    """How clearly a paint so saturated (its chroma at L* 60) is meant, beside a mid colour of another hue."""
    paint = a_tint(lightness, saturated * lightness / 60, hue_deg)
    return float(deliberate_contrast(paint, a_tint(lightness, 20, fixed_hue_deg)))


@pytest.mark.parametrize(
    ("lightness", "hue_deg", "asked"),
    [
        (60.0, 20.0, 1.0),
        (66.0, 20.0, 1.0),
        # A dusty blue is a colour already: within 25 degrees of h' 250, not from 45.
        (60.0, 250.0, 0.6),
        (60.0, 274.0, 0.6),
        (60.0, 226.0, 0.6),
        (60.0, 296.5, 1.0),
        (60.0, 203.5, 1.0),
        # A pastel is a tint: in full from L* 80.
        (80.0, 20.0, 1.6),
        (92.0, 20.0, 1.6),
        (73.0, 20.0, 1.3),
        (90.0, 250.0, 0.96),
    ],
)
def test_how_much_chroma_makes_a_contrast_that_is_meant(lightness: float, hue_deg: float, asked: float) -> None:
    """None to 9 at L* 60, in full from 18, a blue less and a pastel more; beside a hue more than 80 degrees off."""
    other = (hue_deg - 120) % 360
    for part in (0.5, 0.999, 1.2, 1.5, 1.8, 2.001, 3.0):
        expected = float(soft(part, 1, 2))
        assert _meant(lightness, 9 * asked * part, hue_deg, other) == pytest.approx(expected, abs=2e-3)


@pytest.mark.parametrize("way", [-1, 1])
def test_a_contrast_is_of_another_hue(way: int) -> None:
    """None within 45 degrees of the fixed colour, in full from 80."""
    for turned in (30.0, 45.0, 55.0, 70.0, 80.0, 150.0):
        assert _meant(60, 40, 100, 100 + way * turned) == pytest.approx(float(soft(turned, 45, 80)), abs=1e-9)


def test_a_purple_is_a_little_less_beside_what_is_warm() -> None:
    """Within 20 degrees of h' 325 by 0.15, not from 40; beside other colours it is as any."""
    assert [_meant(60, 40, hue, 70.0) for hue in (320.0, 344.0, 306.0)] == pytest.approx([0.85] * 3)
    assert [_meant(60, 40, hue, 70.0) for hue in (285.0, 284.0)] == pytest.approx([1.0] * 2)
    assert _meant(60, 40, 325, 200.0) == pytest.approx(1)


def test_a_dark_paint_is_a_contrast_where_it_is_much_darker() -> None:
    """To 0.7 from L* 30 on, none from 45, where the fixed colour is 30 lighter, none where it is 10; of its own hue."""
    dark = np.array([20.0, 30, 35, 40, 45, 60])
    np.testing.assert_allclose(deliberate_contrast(a_tint(dark, 3, 60), a_tint(95, 3, 60)), 0.7 * soft(dark, 45, 30))
    step = np.array([-20.0, 0, 10, 15, 20, 30, 60])
    np.testing.assert_allclose(
        deliberate_contrast(a_tint(25, 3, 60), a_tint(25 + step, 3, 60)), 0.7 * soft(step, 10, 30), atol=1e-12
    )


def test_two_grounds_for_a_contrast_make_it_no_less_clear() -> None:
    """A share of what the one leaves, as of two independent chances: within 0..1, and no less than either."""
    paint, fixed = np.random.default_rng(9).uniform((2, -60, -60), (98, 60, 60), (2, 4000, 3))
    found = deliberate_contrast(tint(paint), tint(fixed))
    assert (found >= 0).all()
    assert (found <= 1).all()
    navy, navy_muted = a_tint(25, 9, 255), a_tint(25, 4.0, 255)
    alone, both = (deliberate_contrast(each, a_tint(90, 20, 90)) for each in (navy_muted, navy))
    light = float(deliberate_contrast(navy_muted, a_tint(25, 20, 90)))
    assert 0.1 < light < 0.9
    assert float(alone) == pytest.approx(light + (1 - light) * 0.7)
    assert float(both) > float(alone)


def test_a_pale_paint_beside_a_dark_undertone_and_a_dark_one() -> None:
    """Seven tenths of the fight are spared a paint from L* 65 beside what is below 30; none below 45, or above 45."""
    paint = np.array([30.0, 45, 50, 55, 60, 65, 90])
    found = agreement.agreement(a_tint(paint, 2, 200), a_tint(28, 2, 50))
    np.testing.assert_allclose(found / LOWEST, 1 - 0.7 * soft(paint, 45, 65), atol=1e-6)
    fixed = np.array([20.0, 30, 35, 40, 45, 60])
    found = agreement.agreement(a_tint(70, 2, 200), a_tint(fixed, 2, 50))
    np.testing.assert_allclose(found / LOWEST, 1 - 0.7 * soft(fixed, 45, 30), atol=1e-6)
