"""Charts drawn at known places: the grid found whichever way the chart lies and is outlined, and nothing else taken."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from matcher.colorimetry.spaces import Floats
from matcher.photo.card_proposal import propose_cards
from matcher.photo.cards_seen import cards_seen
from matcher.photo.chart_grid import ChartGrid, find_grid
from tests.calibration.chart_scene import HEIGHT, LYING, PITCH, WIDTH, ChartScene, Points, chart_linear, draw_chart
from tests.calibration.scenes import smoothstep_s

ACROSS = np.linspace(0, 1, WIDTH)[None] * np.ones((HEIGHT, 1))
# Dark brown's corner first: as it lies, then turned clockwise by quarters.
LIES = [LYING, ((750, 200), (750, 800), (350, 800), (350, 200)), LYING[2:] + LYING[:2],
        ((350, 800), (350, 200), (750, 200), (750, 800))]  # fmt: skip


def middles(scene: ChartScene) -> Floats:
    """Where the drawn patches' middles are, from the corners of all patches together."""
    import cv2

    square = np.array([[0, 0], [6, 0], [6, 4], [0, 4]], np.float32)
    # Patches take 34 of 40 mm: their outer edges lie 3 mm inside their cells.
    inset = square + np.array([[1, 1], [-1, 1], [-1, -1], [1, -1]], np.float32) * (3 / 40)
    matrix = cv2.getPerspectiveTransform(inset, np.array(scene.patches, np.float32))
    cells = np.array([[i % 6 + 0.5, i // 6 + 0.5] for i in range(24)], np.float32)
    return np.asarray(cv2.perspectiveTransform(cells[None], matrix)[0])


def off(grid: ChartGrid, scene: ChartScene) -> float:
    """Largest distance of a middle, in pixels."""
    found = np.array([np.mean(grid.cell(i, 0.3), axis=0) for i in range(24)])
    return float(np.linalg.norm(found - middles(scene), axis=1).max())


@cache
def turned(turns: int) -> ChartScene:
    return draw_chart(LIES[turns])


@pytest.mark.parametrize("turns", range(4))
@pytest.mark.parametrize("start", range(4))
def test_found_however_it_lies_and_wherever_its_outline_begins(turns: int, start: int) -> None:
    scene = turned(turns)
    grid = find_grid(scene.photo, np.roll(np.array(scene.frame), start, axis=0))
    assert grid.fits
    assert not grid.mirrored
    assert grid.quarter_turns == turns
    assert off(grid, scene) < 3


def test_the_outline_may_run_round_the_patches_or_be_drawn_carelessly() -> None:
    scene = draw_chart()
    assert off(find_grid(scene.photo, np.array(scene.patches)), scene) < 3
    careless = np.add(scene.frame, [[-6, 5], [7, -4], [-5, -8], [6, 6]])
    assert off(find_grid(scene.photo, careless), scene) < 3


@pytest.mark.parametrize("light", ["A", "FL11", "LED-B1"])
def test_found_under_lamps_a_curve_and_a_shadow(light: str) -> None:
    shadow = np.where(ACROSS < 0.52, 1.0, 0.4)
    scene = draw_chart(linear=chart_linear(light=light), curve=smoothstep_s(0.4), light=shadow, level=0.6)
    grid = find_grid(scene.photo, np.array(scene.frame))
    assert grid.fits
    assert grid.quarter_turns == 0


def test_a_mirrored_chart_fits_only_as_a_mirror_image() -> None:
    scene = draw_chart(mirrored=True)
    grid = find_grid(scene.photo, np.array(scene.frame))
    assert grid.fits
    assert grid.mirrored


def test_half_a_chart_a_plain_place_and_shuffled_patches_do_not_fit() -> None:
    scene = draw_chart()
    half: Points = ((330, 260), (590, 280), (585, 620), (270, 600))
    plain: Points = ((50, 50), (250, 50), (250, 200), (50, 200))
    for outline in (half, plain):
        assert not find_grid(scene.photo, np.array(outline)).fits
    shuffled = draw_chart(linear=np.random.default_rng(1).permutation(chart_linear()))
    assert not find_grid(shuffled.photo, np.array(shuffled.frame)).fits


@pytest.mark.parametrize("corners", [*LIES, ((600, 150), (950, 500), (700, 750), (350, 400))])
@pytest.mark.parametrize("light", ["D65", "A"])
def test_it_is_proposed_first_with_its_patches_inside(corners: Points, light: str) -> None:
    scene = draw_chart(corners, linear=chart_linear(light=light), level=0.6)
    proposals = propose_cards(scene.photo)
    assert proposals[0].kind == "chart 24"
    assert proposals[0].confidence > 0.8
    assert [p.kind for p in proposals].count("chart 24") == 1
    assert off(find_grid(scene.photo, np.array(proposals[0].outline)), scene) < 3
    seen = cards_seen(proposals)
    assert seen.level == "ok"
    assert "24" in str(dict(seen.values)["found"])


@pytest.mark.parametrize("corners", [((600, 400), (840, 410), (835, 575), (590, 560))])
def test_a_pocket_chart_is_proposed_too(corners: Points) -> None:
    """Its patches are 0.7 of the way from one to the next, as those of charts of 11 cm are (measured on photographs of
    them, no published source); in the picture each is 25 pixels wide.
    """
    scene = draw_chart(corners, patch=0.7 * PITCH, level=0.6)
    chart, *others = propose_cards(scene.photo)
    assert chart.kind == "chart 24"
    assert all(other.kind != "chart 24" for other in others)
    assert np.linalg.norm(np.mean(chart.outline, axis=0) - np.mean(scene.frame, axis=0)) < 5


def test_a_mirrored_or_shuffled_chart_is_not_proposed_as_one() -> None:
    shuffled = draw_chart(linear=np.random.default_rng(1).permutation(chart_linear()))
    for scene in (draw_chart(mirrored=True), shuffled):
        assert all(p.kind != "chart 24" for p in propose_cards(scene.photo))
