"""The light across a chart, on patches whose light is a slope, a step or an odd one out, to the last number."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import ArrayLike

from matcher.calibration.chart_light import ChartLight, light_across
from matcher.calibration.patch import LEVELS, Patch
from matcher.calibration.tone_curve import linear_table
from matcher.colorimetry.chart import chart_xyz
from matcher.colorimetry.spaces import Floats
from tests.calibration.made_patches import STRAIGHT, made, straight_space

# Six columns and four rows, 50 pixels apart, far from the picture's corner.
PLACES = np.array([[1000.0 + 50 * column, 700.0 + 50 * row] for row in range(4) for column in range(6)])
KNOWN, OF_A_CAMERA = straight_space(tone_known=True), straight_space()


def chart(log_light: ArrayLike, strength: Floats | None = None, *, coloured: bool = False) -> list[Patch]:
    """The chart's 24 patches, each in its own light, a logarithm (24,): as greys, or seen as the eye sees them."""
    to_rgb = np.linalg.inv(KNOWN.to_xyz)
    table = STRAIGHT if strength is None else linear_table(strength, KNOWN, LEVELS)
    lights = np.exp(np.broadcast_to(np.asarray(log_light, dtype=float), 24))
    return [
        made(
            np.interp(np.clip(0.4 * lit * (to_rgb @ xyz if coloured else xyz[1]), 1e-3, 1), table, STRAIGHT),
            float(xyz[1]),
            centre=place,
        )
        for xyz, lit, place in zip(chart_xyz(), lights, PLACES, strict=True)
    ]


def across(log_light: ArrayLike, strength: Floats | None = None, *, coloured: bool = False) -> ChartLight:
    return light_across(chart(log_light, strength, coloured=coloured), KNOWN if strength is None else OF_A_CAMERA)


@pytest.mark.parametrize("slope", [(0.0, 0.0), (1.5e-3, 0.0), (0.0, -2e-3), (-1e-3, 1.2e-3)])
def test_a_slope_is_found_again_and_nothing_else(slope: tuple[float, float]) -> None:
    found = across((PLACES - PLACES[7]) @ slope)
    np.testing.assert_allclose(found.slope, slope, atol=1e-5)
    assert found.edge == 0
    assert found.rest < 1e-3
    # Colours lie unevenly on the chart: how much a channel weighs takes some of a slope for theirs.
    seen = across((PLACES - PLACES[7]) @ slope, coloured=True)
    np.testing.assert_allclose(seen.slope, slope, atol=1.2e-4)
    assert seen.edge == 0


def test_a_slope_comes_apart_from_what_the_curve_does() -> None:
    """Light that falls off by a quarter behind curves that a camera may have: the slope to a seventh."""
    slope = np.array([-1.1e-3, 3e-4])
    for strength in (np.full(5, -0.3), np.array([-0.2, -0.5, -0.4, 0.0, 0.3])):
        found = across((PLACES - PLACES[7]) @ slope, strength)
        np.testing.assert_allclose(found.slope, slope, atol=1.6e-4)
        assert found.edge == 0
        assert found.rest < 0.02


@pytest.mark.parametrize("step", [-0.7, 0.4])
@pytest.mark.parametrize("turn_deg", [0, 90, 45, 120])
def test_a_border_is_found_with_the_step_across_it(step: float, turn_deg: int) -> None:
    """Along a row, a column or aslant through the middle; more light to the far side counts as more."""
    turn = np.radians(turn_deg)
    beyond = (PLACES - PLACES.mean(axis=0)) @ [np.cos(turn), np.sin(turn)] > 0
    found = across(np.where(beyond, step, 0.0))
    assert found.edge == pytest.approx(step, abs=0.12 * abs(step))


def test_odd_patches_pull_neither_slope_nor_border() -> None:
    """Three of 24 with a reflection on them, in different corners."""
    slope = np.array([1.2e-3, -8e-4])
    light = (PLACES - PLACES[7]) @ slope
    glare = np.zeros(24)
    glare[[2, 12, 23]] = (0.5, 0.35, 0.4)
    found = across(light + glare)
    np.testing.assert_allclose(found.slope, slope, atol=1e-4)
    assert found.edge == 0
    # What is left of the others is next to nothing, so it is the scatter of what was put there.
    assert found.rest == pytest.approx(glare.std(), rel=0.1)


def test_the_slopes_doubt_is_how_it_scatters() -> None:
    """Patches that miss by 3 %, twenty times: the stated sigma against that of the slopes found."""
    rng = np.random.default_rng(17)
    found = [across(0.03 * rng.standard_normal(24)) for _ in range(20)]
    scatter = np.std([each.slope for each in found])
    # Least squares by hand: sigma over the root of the summed squares of the places, along either axis.
    away = PLACES - PLACES.mean(axis=0)
    by_hand = 0.03 / np.sqrt((away**2).sum(axis=0))
    assert scatter == pytest.approx(np.sqrt((by_hand**2).mean()), rel=0.25)
    assert np.mean([each.slope_sd for each in found]) == pytest.approx(np.sqrt((by_hand**2).mean()), rel=0.1)
    assert np.mean([each.rest for each in found]) == pytest.approx(0.03, rel=0.15)
    assert sum(each.edge != 0 for each in found) <= 1


def test_a_larger_picture_of_the_same_chart_says_the_same_by_its_pixels() -> None:
    light = (PLACES - PLACES[7]) @ [1.2e-3, -8e-4] + np.where(PLACES[:, 0] > 1120, 0.3, 0.0)
    small = chart(light)
    one = light_across(small, KNOWN)
    other = light_across([replace(p, centre=3 * p.centre + 40) for p in small], KNOWN)
    np.testing.assert_allclose(3 * other.slope, one.slope, rtol=1e-9)
    assert 3 * other.slope_sd == pytest.approx(one.slope_sd)
    assert (other.edge, other.rest) == (pytest.approx(one.edge), pytest.approx(one.rest))


def test_less_than_half_of_the_scatter_is_no_border() -> None:
    """A step of a twentieth among patches that miss by as much."""
    rng = np.random.default_rng(5)
    assert across(0.05 * rng.standard_normal(24) + np.where(PLACES[:, 0] > 1120, 0.05, 0.0)).edge == 0
