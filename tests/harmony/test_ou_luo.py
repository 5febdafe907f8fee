"""Ou & Luo 2006, Color Res. Appl. 31(3), 191-204 (OL06).

The paper's own examples could not be opened: the check values were worked out beforehand from its equations, on which
three public transcriptions agree. The equations are coded a second time here, in hue angles, for a random grid.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from matcher.harmony.ou_luo import (
    chroma_part,
    hue_liking,
    hue_part,
    lightness_part,
    liking_above_grey,
    pair_harmony,
    relative_harmony,
)

GREY, BLACK, WHITE = (50.0, 0.0, 0.0), (0.0, 0.0, 0.0), (100.0, 0.0, 0.0)
GREIGE, VIOLET_GREY, OAK, MARBLE = (76.0, 1.0, 6.0), (76.0, 1.5, -3.0), (55.0, 14.0, 28.0), (85.0, 0.0, 1.0)
CASES = [
    (GREY, GREY, 0.2514),
    (WHITE, BLACK, 0.5460),
    (GREIGE, OAK, 0.3582),
    (MARBLE, VIOLET_GREY, 1.0828),
    ((32.3026, 79.1967, -107.8637), (53.2329, 80.1093, 67.2201), -0.6839),
    ((97.1393, -21.5558, 94.4825), (32.3026, 79.1967, -107.8637), 0.0612),
]


@pytest.mark.parametrize(("first", "second", "expected"), CASES)
def test_pair_harmony_of_transcriptions_of_ou_luo_2006(
    first: tuple[float, ...], second: tuple[float, ...], expected: float
) -> None:
    assert float(pair_harmony(first, second)) == pytest.approx(expected, abs=5.1e-5)


def _liking_by_angles(lightness: float, chroma: float, hue: float) -> float:
    effect = 0.5 + 0.5 * math.tanh(-2 + 0.5 * chroma)
    saturation = -0.08 - 0.14 * math.sin(math.radians(hue + 50)) - 0.07 * math.sin(math.radians(2 * hue + 90))
    yellow = ((0.22 * lightness - 12.8) / 10) * math.exp((90 - hue) / 10 - math.exp((90 - hue) / 10))
    return effect * (saturation + yellow)


def _harmony_by_angles(first: np.ndarray, second: np.ndarray) -> float:
    """The equations as printed, one pair at a time, with dH*ab = 2 sqrt(C1 C2) |sin(dh / 2)|."""
    (l1, c1, h1), (l2, c2, h2) = (
        (lab[0], math.hypot(lab[1], lab[2]), math.degrees(math.atan2(lab[2], lab[1])) % 360) for lab in (first, second)
    )
    metric_hue = 2 * math.sqrt(c1 * c2) * abs(math.sin(math.radians(h1 - h2) / 2))
    chroma = 0.04 + 0.53 * math.tanh(0.8 - 0.045 * math.sqrt(metric_hue**2 + ((c1 - c2) / 1.46) ** 2))
    total = 0.28 + 0.54 * math.tanh(-3.88 + 0.029 * (l1 + l2))
    step = 0.14 + 0.15 * math.tanh(-2 + 0.2 * abs(l1 - l2))
    return chroma + total + step + _liking_by_angles(l1, c1, h1) + _liking_by_angles(l2, c2, h2)


def test_a_second_coding_of_the_equations_agrees_on_a_random_grid() -> None:
    first, second = np.random.default_rng(2).uniform((0, -70, -70), (100, 70, 70), (2, 300, 3))
    expected = [_harmony_by_angles(one, other) for one, other in zip(first, second, strict=True)]
    np.testing.assert_allclose(pair_harmony(first, second), expected, atol=1e-12)


def test_parts_of_two_mid_greys() -> None:
    assert float(chroma_part(GREY, GREY)) == pytest.approx(0.3919, abs=5e-5)
    assert float(lightness_part(GREY, GREY)) == pytest.approx(-0.1267 - 0.0046, abs=1e-4)
    assert float(hue_liking(GREY)) == pytest.approx(-0.0046, abs=5e-5)


def test_parts_add_up_and_pairs_are_symmetric() -> None:
    rng = np.random.default_rng(1)
    first, second = rng.uniform((5, -60, -60), (95, 60, 60), (2, 200, 3))
    parts = chroma_part(first, second) + lightness_part(first, second) + hue_part(first, second)
    np.testing.assert_allclose(parts, pair_harmony(first, second), atol=1e-12)
    np.testing.assert_allclose(pair_harmony(first, second), pair_harmony(second, first), atol=1e-12)


def test_metric_hue_difference_is_not_in_degrees() -> None:
    """dH*ab = 2 sqrt(C1 C2) |sin(dh / 2)| (CIE 015): 10 and 10 at right angles are 14.1 apart, not 90."""
    expected = 0.04 + 0.53 * np.tanh(0.8 - 0.045 * 10 * np.sqrt(2))
    assert float(chroma_part((50.0, 10.0, 0.0), (50.0, 0.0, 10.0))) == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize("lightness", [30.0, 60.0, 76.0, 90.0])
def test_relative_harmony_of_a_grey_is_zero_at_any_lightness(lightness: float) -> None:
    grey = (lightness, 0.0, 0.0)
    assert float(relative_harmony(grey, OAK, liking_above_grey(grey))) == pytest.approx(0, abs=1e-12)


def test_relative_harmony_does_not_rise_with_lightness_as_harmony_does() -> None:
    light, dark = (90.0, 1.5, -3.0), (70.0, 1.5, -3.0)
    plain = float(pair_harmony(light, OAK) - pair_harmony(dark, OAK))
    relative = float(
        relative_harmony(light, OAK, liking_above_grey(light)) - relative_harmony(dark, OAK, liking_above_grey(dark))
    )
    assert plain > 0.2
    assert abs(relative) < 0.02


def test_single_precision_is_kept() -> None:
    colours = np.array([GREIGE, OAK], dtype=np.float32)
    assert relative_harmony(colours, colours, liking_above_grey(colours)).dtype == np.float32


def test_relative_harmony_is_how_much_better_a_paint_does_than_a_grey_as_light() -> None:
    """Its definition, by the whole model: Ou & Luo's harmony of the pair less that of a grey of the paint's L*."""
    paint, fixed = np.random.default_rng(4).uniform((20, -40, -40), (95, 40, 40), (2, 200, 3))
    grey = np.stack([paint[:, 0], np.zeros(200), np.zeros(200)], axis=-1)
    expected = pair_harmony(paint, fixed) - pair_harmony(grey, fixed)
    np.testing.assert_allclose(relative_harmony(paint, fixed, liking_above_grey(paint)), expected, atol=1e-12)


def test_a_grey_is_liked_alike_whatever_is_set_beside_it() -> None:
    """By the function's definition: what is taken off is the liking of the grey of that lightness, which has no hue."""
    ways = np.array([[60.0, a, b] for a in (-8.0, 0.0, 8.0) for b in (-8.0, 0.0, 8.0)])
    grey = float(hue_liking((60.0, 0.0, 0.0)))
    np.testing.assert_allclose(hue_liking(ways) - liking_above_grey(ways), grey, rtol=0, atol=1e-12)
