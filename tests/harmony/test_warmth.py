"""Warm and cool against the three published models.

Ou et al. 2004 (Color Res. Appl. 29(3)), Ou et al. 2018 (same journal, 43) and Chang & Ou 2026 (same, 51, eq. 2).
The scores below are those equations worked out by hand and separately coded, before the value at neutral is taken off.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from coloraide import Color

from matcher.harmony.warmth import hue_warmth, warm_cool_2004, warm_cool_2018, warm_cool_chang_ou, warmth

OAK, GREIGE, VIOLET_GREY = (55.0, 14.0, 28.0), (76.0, 1.0, 6.0), (76.0, 1.5, -3.0)
RED, BLUE = (53.23, 80.11, 67.22), (32.3, 79.2, -107.86)


@pytest.mark.parametrize(
    ("model", "neutral", "scores", "tolerance"),
    [
        (warm_cool_2004, -0.5, {OAK: 0.2750, GREIGE: -0.3811, VIOLET_GREY: -0.5290, RED: 2.3522, BLUE: -1.3937}, 1e-4),
        (warm_cool_2018, -0.89, {OAK: 0.5032, GREIGE: -0.6676, VIOLET_GREY: -0.9720, RED: 4.4653, BLUE: -2.6831}, 1e-4),
        (warm_cool_chang_ou, 10.33, {OAK: 91.98, GREIGE: 21.11, VIOLET_GREY: 7.99}, 0.02),
    ],
)
def test_scores_of_the_published_models(
    model: Callable[..., np.ndarray], neutral: float, scores: dict[tuple[float, ...], float], tolerance: float
) -> None:
    for lab, expected in scores.items():
        assert float(model(lab)) + neutral == pytest.approx(expected, abs=tolerance)


@pytest.mark.parametrize(
    ("model", "cool_from", "warm_from"),
    [(warm_cool_2004, 140.0, 320.0), (warm_cool_2018, 144.4, 317.5), (warm_cool_chang_ou, 134.0, 315.0)],
)
def test_boundaries_between_warm_and_cool(model: Callable[..., np.ndarray], cool_from: float, warm_from: float) -> None:
    """Where each model's score crosses that of a neutral, at C* 8; to a degree."""
    hue = np.arange(0, 360, 0.05)
    radians = np.radians(hue)
    scores = model(np.stack([np.full_like(hue, 75.0), 8 * np.cos(radians), 8 * np.sin(radians)], axis=-1))
    crossings = hue[np.flatnonzero(np.sign(scores) != np.sign(np.roll(scores, 1)))]
    np.testing.assert_allclose(crossings, [cool_from, warm_from], atol=1.5)


def test_sign_wherever_the_three_models_agree() -> None:
    hue = np.concatenate([np.arange(0, 130, 1.0), np.arange(325, 360, 1.0), np.arange(150, 310, 1.0)])
    radians = np.radians(hue)
    found = hue_warmth(np.stack([np.full_like(hue, 75.0), 6 * np.cos(radians), 6 * np.sin(radians)], axis=-1))
    np.testing.assert_array_equal(found > 0, (hue < 130) | (hue >= 325))


@pytest.mark.parametrize("lightness", [1.0, 30.0, 76.0, 97.0])
def test_neutrals_are_neither_warm_nor_cool(lightness: float) -> None:
    assert float(warmth((lightness, 0.0, 0.0))) == pytest.approx(0, abs=1e-9)


def test_greige_is_warm_and_stays_within_bounds() -> None:
    """The raw scores call greige cool (-0.38 and -0.67): the trap that taking off the neutral's value avoids."""
    assert 0.3 < float(warmth(GREIGE)) < 0.7
    assert -0.5 < float(warmth(VIOLET_GREY)) < -0.2
    rng = np.random.default_rng(3)
    assert np.abs(warmth(rng.uniform((0, -90, -90), (100, 90, 90), (2000, 3)))).max() <= 1


def _u_v(lab: np.ndarray) -> np.ndarray:
    """CIE 1976 u', v' (CIE 015) of coloraide's XYZ."""
    x, y, z = Color("lab-d65", lab.tolist()).convert("xyz-d65").coords()
    return np.array([4 * x, 9 * y]) / (x + 15 * y + 3 * z)


def test_the_warmth_of_a_hue_is_the_mean_of_what_three_models_say_of_its_direction() -> None:
    """Each model's slope there over the steepest it has, written out from the papers; light colours and dark ones."""
    labs = np.random.default_rng(14).uniform((1, -12, -12), (97, 12, 12), (200, 3))
    labs[:, 1:] *= labs[:, :1] / 97
    hue = np.arctan2(labs[:, 2], labs[:, 1])

    def of_2018(angle: np.ndarray) -> np.ndarray:
        return np.asarray(np.cos(angle - np.radians(50)) + 0.16 * np.cos(2 * angle - np.radians(350)))

    steepest = np.abs(of_2018(np.radians(np.arange(0, 360, 0.01)))).max()
    steps = np.array([_u_v(lab) for lab in labs]) - _u_v(np.array([100.0, 0, 0]))
    normal = np.array([2.2175, 1.0])
    third = steps @ normal / (np.hypot(*steps.T) * np.hypot(*normal))
    expected = (np.cos(hue - np.radians(50)) + of_2018(hue) / steepest + third) / 3
    np.testing.assert_allclose(hue_warmth(labs), expected, atol=2e-4)
