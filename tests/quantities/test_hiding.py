"""Hiding by Kubelka and Munk: against scipy's solution of their two equations, and against what painters know."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.linalg import expm

from matcher.colorimetry.recovery import recover_reflectance
from matcher.quantities.hiding import MOST_COATS, coats_for, contrast_ratio, over_ground

PURE_WHITE, OFF_WHITE, GREIGE, MUTED_BLUE = (97.0, 0.0, 0.0), (94.0, 0.0, 3.0), (70.0, 2.0, 9.0), (50.0, -4.0, -12.0)
BLACK, CLEAN_YELLOW, CLEAN_RED, OLIVE = (20.0, 0.0, 0.0), (84.0, 0.0, 70.0), (46.0, 50.0, 30.0), (40.0, -4.0, 20.0)


@pytest.mark.parametrize("reflectivity", [0.05, 0.3, 0.85])
@pytest.mark.parametrize("ground", [0.0, 0.2, 0.8])
@pytest.mark.parametrize("scattering", [0.3, 2.0, 6.0])
def test_a_film_against_the_two_equations_solved_by_scipy(
    reflectivity: float, ground: float, scattering: float
) -> None:
    """dI/dx = -(K+S) I + S J, dJ/dx = (K+S) J - S I (Kubelka and Munk 1931), as a matrix exponential."""
    absorption = scattering * (1 - reflectivity) ** 2 / (2 * reflectivity)
    loss = absorption + scattering
    through = expm(np.array([[-loss, scattering], [-scattering, loss]]))
    # Light 1 goes in; at the ground J = ground x I.
    up = (through[1, 0] - ground * through[0, 0]) / (ground * through[0, 1] - through[1, 1])
    assert float(over_ground(reflectivity, ground, scattering)) == pytest.approx(up, abs=1e-9)


def test_worked_values() -> None:
    """Computed beforehand, with other code: R 0.85, SX 4 and R 0.5, SX 2; SX for a contrast ratio of 0.98."""
    assert float(over_ground(0.85, 0.0, 4.0)) == pytest.approx(0.7705, abs=5e-5)
    assert float(over_ground(0.85, 0.8, 4.0)) == pytest.approx(0.8378, abs=5e-5)
    assert contrast_ratio(0.85, 4.0) == pytest.approx(0.9197, abs=1e-4)
    assert contrast_ratio(0.5, 2.0) == pytest.approx(0.9280, abs=1e-4)
    for reflectivity, scattering in ((0.85, 7.67), (0.70, 4.84), (0.50, 2.87), (0.30, 1.64)):
        assert contrast_ratio(reflectivity, scattering) == pytest.approx(0.98, abs=3e-4)


def test_a_film_of_a_measured_spectrum_is_taken_wavelength_by_wavelength() -> None:
    curve = np.asarray(recover_reflectance([CLEAN_RED])[0])
    alone = [float(over_ground(value, 0.4, 1.5)) for value in curve]
    np.testing.assert_allclose(over_ground(curve, 0.4, 1.5), alone)
    # Where there is a spectrum, the colour does not matter.
    assert coats_for(GREIGE, rate=10, ground=BLACK, reflectance=curve) == coats_for(CLEAN_RED, rate=10, ground=BLACK)
    blank = np.full(36, np.nan)
    assert coats_for(GREIGE, rate=10, ground=None, reflectance=blank) == coats_for(GREIGE, rate=10, ground=None)


def test_two_coats_of_a_good_white_are_of_class_2() -> None:
    """EN 13300: class 2 is a contrast ratio of 98 to 99.5 %; lay guides put it at 5 to 7 m2 a litre in all."""
    one = coats_for(OFF_WHITE, rate=10, ground=None).ratio
    two = coats_for(OFF_WHITE, rate=5, ground=None).ratio
    assert one < 0.95 < two < 0.995


# Common practice, no source: what a painter expects of two coats, from where on of more.
@pytest.mark.parametrize(
    ("paint", "ground", "fewest", "most"),
    [
        (OFF_WHITE, PURE_WHITE, 2, 2),  # a ceiling done over
        (GREIGE, MUTED_BLUE, 2, 2),
        (MUTED_BLUE, OFF_WHITE, 2, 2),
        (BLACK, OFF_WHITE, 2, 2),
        (OLIVE, CLEAN_RED, 2, 3),
        (PURE_WHITE, CLEAN_RED, 3, 4),
        (PURE_WHITE, BLACK, 3, 4),
        (CLEAN_RED, OFF_WHITE, 2, 4),
        (CLEAN_YELLOW, OFF_WHITE, 2, 4),
        (CLEAN_YELLOW, MUTED_BLUE, 4, MOST_COATS),
        (CLEAN_YELLOW, BLACK, 4, MOST_COATS),
    ],
)
def test_what_a_painter_expects(paint: tuple[float, ...], ground: tuple[float, ...], fewest: int, most: int) -> None:
    coats = coats_for(paint, rate=10, ground=ground)
    assert fewest <= coats.likely <= most
    assert coats.low <= coats.likely <= coats.high
    assert coats.ground == "measured"


def test_clean_and_deep_colours_over_contrast_need_more() -> None:
    muted, clean = (coats_for(paint, rate=10, ground=MUTED_BLUE) for paint in (GREIGE, CLEAN_YELLOW))
    assert clean.likely > muted.likely
    assert clean.ratio < muted.ratio
    over_kin, over_contrast = (coats_for(PURE_WHITE, rate=10, ground=ground) for ground in (OFF_WHITE, BLACK))
    assert over_contrast.likely > over_kin.likely


def test_spread_thinner_it_takes_as_many_coats_or_more() -> None:
    numbers = [coats_for(PURE_WHITE, rate=rate, ground=BLACK).likely for rate in (6, 8, 10, 14)]
    assert numbers == sorted(numbers)
    assert numbers[-1] > numbers[0]


def test_a_ground_that_nobody_measured_widens_the_range() -> None:
    unknown = coats_for(PURE_WHITE, rate=10, ground=None)
    assert unknown.ground == "assumed"
    for known in (coats_for(PURE_WHITE, rate=10, ground=ground) for ground in (OFF_WHITE, GREIGE, BLACK)):
        assert unknown.low <= known.likely <= unknown.high
    assert coats_for(CLEAN_YELLOW, rate=10, ground=None).beyond
    assert coats_for(CLEAN_YELLOW, rate=10, ground=None).high == MOST_COATS
