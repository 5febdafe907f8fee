"""What is believed of a surface without its own card, against Monte Carlo and its own limits."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import expit
from scipy.stats import exponnorm

from matcher.surfaces.plausible_level import log_delayed, plausible_level


@pytest.mark.parametrize(("luminance", "sd"), [(0.35, 0.3), (0.8, 0.4), (1.4, 0.35), (0.05, 0.5), (0.6, 0.1)])
def test_bayes_rule_agrees_with_weighted_draws(luminance: float, sd: float) -> None:
    """JCGM 101:2008 (Monte Carlo) with importance weights: half below LRV 35, log sd 1.2, a soft end at LRV 90."""
    drawn = np.log(luminance) + sd * np.random.default_rng(1).normal(size=400_000)
    weight = np.exp(-0.5 * ((drawn - np.log(0.35)) / 1.2) ** 2) * expit(-(drawn - np.log(0.9)) * 1.7 / 0.04)
    weight[(drawn > 0) | (drawn < np.log(0.008))] = 0
    moved, stated = plausible_level(float(np.log(luminance)), sd)
    mean = float(weight @ drawn / weight.sum())
    assert moved == pytest.approx(mean - np.log(luminance), abs=0.01)
    order = np.argsort(drawn)
    low, high = np.interp([0.05, 0.95], np.cumsum(weight[order]) / weight.sum(), drawn[order]) - mean
    assert np.exp(1.645 * stated) - 1 == pytest.approx(max(np.exp(high) - 1, 1 - np.exp(low)), abs=0.015)


@pytest.mark.parametrize("fall", [0.6, 0.2, -0.5])
def test_a_fall_of_light_agrees_with_weighted_draws(fall: float) -> None:
    """The same with less light than the card shows: a normal and an exponential part, drawn one by one."""
    random = np.random.default_rng(2)
    drawn = np.log(0.3) + 0.3 * random.normal(size=400_000) + np.sign(fall) * random.exponential(abs(fall), 400_000)
    weight = np.exp(-0.5 * ((drawn - np.log(0.35)) / 1.2) ** 2) * expit(-(drawn - np.log(0.9)) * 1.7 / 0.04)
    weight[(drawn > 0) | (drawn < np.log(0.008))] = 0
    moved, stated = plausible_level(float(np.log(0.3)), 0.3, fall)
    mean = float(weight @ drawn / weight.sum())
    assert moved == pytest.approx(mean - np.log(0.3), abs=0.01)
    order = np.argsort(drawn)
    low, high = np.interp([0.05, 0.95], np.cumsum(weight[order]) / weight.sum(), drawn[order]) - mean
    assert np.exp(1.645 * stated) - 1 == pytest.approx(max(np.exp(high) - 1, 1 - np.exp(low)), abs=0.02)


@given(st.floats(-5, 2), st.floats(0.05, 3))
def test_no_surface_comes_out_lighter_than_white(log_y: float, sd: float) -> None:
    for fall in (0.0, 0.6, -0.6):
        moved, stated = plausible_level(log_y, sd, fall)
        assert log_y + moved <= 1e-9
        assert 0 <= stated < 4


def test_a_sure_reading_stays() -> None:
    moved, stated = plausible_level(float(np.log(0.5)), 0.05)
    assert abs(moved) < 0.005
    assert stated == pytest.approx(0.05, rel=0.1)


@pytest.mark.parametrize("delay", [0.01, 0.3, 2.0, 20.0])
def test_a_normal_number_late_by_an_exponential_one_is_that_of_scipy(delay: float) -> None:
    z = np.linspace(-6, 9, 40)
    apart = exponnorm.logpdf(z, delay) - log_delayed(z, delay)
    np.testing.assert_allclose(apart, apart[0], atol=1e-9)
