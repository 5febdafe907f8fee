"""What is said of a curve's doubt, held against curves drawn from what is believed of cameras, behind sloping light."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from matcher.calibration.curve_prior import NOT_PLAIN, beliefs
from matcher.calibration.photo_calibration import PhotoCalibration, calibrate
from matcher.calibration.tone_curve import ToneCurve, linear_table
from matcher.colorimetry.spaces import Floats, srgb_encode
from matcher.photo.colour_space import srgb
from tests.calibration.scenes import GREY, Curve, Scene

REFLECTANCES = np.array([0.07, 0.12, 0.3, 0.45, 0.6, 0.75])
CARD = 0.18
LEVEL = 0.75
DRAWN = 40


def camera_curve(strength: Floats) -> Curve:
    """What a camera of these strengths makes of standard encoded values."""
    values = np.linspace(0, 1, 4096)
    table = srgb_encode(linear_table(strength, srgb(), 4096))

    def curve(encoded: Floats) -> Floats:
        return np.interp(encoded, table, values)

    return curve


def off_by(strength: Floats, true: Curve) -> Floats:
    """Logarithm by which reflectances beside the grey card are read too light under ``strength``."""
    codes = true(srgb_encode(np.append(REFLECTANCES, CARD) * LEVEL))
    read = np.log(np.interp(codes, np.linspace(0, 1, 256), linear_table(strength, srgb(), 256)))
    return np.asarray(read[:-1] - read[-1] - np.log(REFLECTANCES / CARD))


def slopes(curve: ToneCurve, true: Curve) -> Floats:
    """Change (5, N) of :func:`off_by` with each strength."""
    base, step = off_by(curve.strength, true), 0.01
    return np.stack([(off_by(curve.strength + step * axis, true) - base) / step for axis in np.eye(5)])


@cache
def photographed(three: bool) -> list[tuple[Curve, PhotoCalibration]]:
    """Cards in light that falls off by a third across the picture, each time through another curve."""
    rng = np.random.default_rng(7)
    plain, camera = beliefs(NOT_PLAIN)[:2]
    found = []
    for index in range(DRAWN):
        belief = camera if index % 2 else plain
        true = camera_curve(rng.multivariate_normal(belief.mean, belief.covariance))
        scene = Scene(160, 300, level=LEVEL)
        scene.fall_off(across=0.3, down=0.1)
        if three:
            scene.lay_three(60, 50, 50, on="worktop")
        else:
            scene.lay(GREY, (120, 50, 170, 100), on="worktop")
        found.append((true, calibrate(scene.shoot(curve=true, seed=index), scene.cards, "photo")))
    return found


@pytest.mark.parametrize(("three", "least", "widest"), [(True, 0.85, 0.12), (False, 0.8, 0.6)])
def test_the_stated_ninety_per_cent_hold(three: bool, least: float, widest: float) -> None:
    """And not by being wide: half-width of the 90 % interval, as the logarithm of light."""
    inside, widths = [], []
    for true, calibration in photographed(three):
        moved = slopes(calibration.curve, true)
        half = 1.645 * np.sqrt(np.einsum("in,ij,jn->n", moved, calibration.curve.covariance, moved))
        # Beside the curve a card is good to 2 % (curve_evidence.py).
        inside.append(np.abs(off_by(calibration.curve.strength, true)) <= half + 0.02)
        widths.append(half)
    assert least <= np.mean(inside)
    assert np.median(widths) < widest


def test_three_cards_bring_curves_back_behind_sloping_light() -> None:
    off = np.abs([off_by(calibration.curve.strength, true) for true, calibration in photographed(True)])
    assert np.median(off) < 0.03
    assert np.quantile(off, 0.9) < 0.12
    alone = np.abs([off_by(calibration.curve.strength, true) for true, calibration in photographed(False)])
    assert np.median(off) < 0.3 * np.median(alone)


def test_linear_propagation_agrees_with_sampling() -> None:
    """JCGM 100:2008 (GUM) 5.1.2 against JCGM 101:2008: strengths drawn from the stated covariance, read through."""
    rng = np.random.default_rng(5)
    for true, calibration in photographed(True)[:6]:
        curve = calibration.curve
        drawn = rng.multivariate_normal(curve.strength, curve.covariance, 2000)
        sampled = np.std([off_by(strength, true) for strength in drawn], axis=0)
        moved = slopes(curve, true)
        stated = np.sqrt(np.einsum("in,ij,jn->n", moved, curve.covariance, moved))
        np.testing.assert_allclose(stated, sampled, rtol=0.2, atol=0.004)
