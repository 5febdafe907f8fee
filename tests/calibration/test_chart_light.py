"""The light across a chart, on patches whose light is a slope, a step or an odd one out, to the last number."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import ArrayLike
from scipy.optimize import least_squares

from matcher.calibration.chart_light import ChartLight, _sides, light_across
from matcher.calibration.curve_prior import NOT_PLAIN, beliefs, mixed
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


def test_odd_patches_on_one_side_are_taken_for_a_slope_by_far_less_than_least_squares_would() -> None:
    glare = np.zeros(24)
    glare[[5, 17, 22]] = (0.5, 0.35, 0.4)
    pulled = np.linalg.lstsq(np.column_stack([np.ones(24), PLACES]), glare, rcond=None)[0][1:]
    assert np.linalg.norm(across(glare).slope) < 0.3 * np.linalg.norm(pulled)


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


@pytest.mark.parametrize(("glare", "found"), [(0.18, True), (0.25, False)])
def test_a_border_explains_more_than_half_of_what_a_slope_leaves(glare: float, found: bool) -> None:
    """A step of 0.15 that stands out clearly, beside one patch with a reflection on it, which no border explains."""
    light = np.where(PLACES[:, 0] > 1120, 0.15, 0.0)
    light[9] += glare
    design = np.column_stack([np.ones(24), PLACES - PLACES.mean(axis=0)])
    left = light - design @ np.linalg.lstsq(design, light, rcond=None)[0]
    assert bool(1 - glare**2 / (left @ left) > 0.55) is found
    assert (across(light).edge != 0) is found


def test_every_border_leaves_four_patches_on_either_side() -> None:
    """In general position, by all cuts across every 15 degrees; more than half a turn is the same border again."""
    places = np.random.default_rng(8).standard_normal((14, 2))
    expected = set()
    for angle in np.radians(np.arange(0, 180, 15)):
        far = np.argsort(places @ [np.cos(angle), np.sin(angle)])[::-1]
        expected |= {frozenset(far[:count].tolist()) for count in range(4, 11)}
    sides = np.stack(list(_sides(places)))
    assert set(np.unique(sides)) == {-0.5, 0.5}
    assert {frozenset(np.flatnonzero(side > 0).tolist()) for side in sides} == expected


def test_no_border_runs_through_patches_in_one_line() -> None:
    """A chart that lies exactly upright, four columns of six: no upright border cuts one of its columns in two."""
    upright = np.array([[column, row] for row in range(6) for column in range(4)], dtype=float)
    beyond = [(side > 0) for side in _sides(upright - upright.mean(axis=0))]
    assert all(4 <= far.sum() <= 20 for far in beyond)
    by_columns = {tuple(far) for far in beyond if all(far[c::4].all() or not far[c::4].any() for c in range(4))}
    assert by_columns == {tuple(upright[:, 0] > column) for column in range(3)}
    turned = [replace(p, centre=50 * place) for p, place in zip(chart(0.3 * upright[:, 1]), upright, strict=True)]
    assert light_across(turned, KNOWN).slope == pytest.approx([0.0, 0.3 / 50], abs=1e-5)


@pytest.mark.parametrize(("sigmas", "found"), [(4.72, False), (4.9, True)])
def test_a_border_stands_almost_five_of_its_sigmas_out(sigmas: float, found: bool) -> None:
    """Student's t of a step beside a level and a slope, by ordinary least squares, on sixteen patches."""
    places = PLACES[[i for i in range(24) if i % 6 < 4]]
    beyond = places[:, 0] > 1060
    design = np.column_stack([np.where(beyond, 0.5, -0.5), np.ones(16), places - places.mean(axis=0)])
    scatter = np.random.default_rng(3).choice([-1.0, 1.0], 16)
    scatter -= design @ np.linalg.lstsq(design, scatter, rcond=None)[0]
    scatter *= 0.02 / np.sqrt(scatter @ scatter / (16 - 4))
    step = sigmas * 0.02 * np.sqrt(np.linalg.inv(design.T @ design)[0, 0])
    light = np.zeros(24)
    light[[i for i in range(24) if i % 6 < 4]] = scatter + np.where(beyond, step, 0.0)
    edge = light_across([p for i, p in enumerate(chart(light)) if i % 6 < 4], KNOWN).edge
    assert edge == (pytest.approx(step, rel=0.05) if found else 0)


def test_the_slope_is_the_most_probable_beside_what_is_known_of_curves() -> None:
    """By scipy: scatter over its robust sigma (1.4826 median deviations, and what a file's steps are worth), and the
    strengths' departure from what is believed; through a curve far from that, which patches that miss tell badly.
    """
    rng = np.random.default_rng(2)
    reflectance, places = chart_xyz()[:, 1], (PLACES - PLACES.mean(axis=0)) / PLACES.std()
    light = places @ [-0.15, 0.05] + rng.uniform(-0.04, 0.04, 24)
    members = chart(light, np.array([0.5, -0.9, -0.6, 0.1, 0.9]))
    believed, covariance = mixed(beliefs(NOT_PLAIN))
    root = np.linalg.cholesky(np.linalg.inv(covariance))
    numbers, sigma = np.concatenate([np.zeros(3), believed]), 0.1

    def left(numbers: Floats) -> Floats:
        table = linear_table(numbers[3:], OF_A_CAMERA, LEVELS)
        linear = np.array([p.histograms[1] @ table / p.histograms[1].sum() for p in members])
        return np.asarray(np.log(linear / reflectance) - numbers[0] - places @ numbers[1:3])

    for _ in range(5):
        numbers = least_squares(
            lambda numbers, sigma: np.concatenate([left(numbers) / sigma, root.T @ (numbers[3:] - believed)]),
            numbers,
            args=(sigma,),
        ).x
        sigma = 1.4826 * float(np.median(np.abs(left(numbers)))) + 0.005
    assert np.abs(left(numbers)).max() < 2 * sigma  # beyond two sigmas patches would count for less
    found = light_across(members, OF_A_CAMERA)
    np.testing.assert_allclose(found.slope * PLACES.std(), numbers[1:3], atol=1e-4)
    assert found.rest == pytest.approx(left(numbers).std(), rel=1e-3)
