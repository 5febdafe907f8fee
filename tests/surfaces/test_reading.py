"""Drawn surfaces of known CIELAB under known light: colours, shares, number, parts."""

from __future__ import annotations

import numpy as np
import pytest

from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.spaces import Floats
from matcher.photo.colour_space import display_p3, srgb
from tests.calibration.scenes import Curve, Scene, plain, smoothstep_s
from tests.surfaces.conftest import HEIGHT, WIDTH, Colours, Measure
from tests.surfaces.patterns import boards, flecks, tiles, veins

CREAM, SAGE, NAVY, NEARLY_WHITE = (82.0, 1.5, 11.0), (66.0, -9.0, 9.0), (28.0, 2.0, -22.0), (93.0, -0.5, 2.5)
TILE = ((76.0, -5.0, 6.0), (64.0, -9.0, 2.0), (88.0, 0.5, 4.0))
BOARDS = ((62.0, 11.0, 28.0), (54.0, 13.0, 27.0), (70.0, 8.0, 26.0))
VEINED = ((84.0, 0.5, 4.0), (60.0, 3.0, 9.0))
FLECKED = ((70.0, 1.0, 6.0), (38.0, 1.0, 2.0))
PATTERNS = [
    pytest.param("tile", tiles(HEIGHT, WIDTH), TILE, id="tile with grout"),
    pytest.param("timber", boards(HEIGHT, WIDTH), BOARDS, id="boards"),
    pytest.param("stone", veins(HEIGHT, WIDTH), VEINED, id="veins"),
    pytest.param("stone", flecks(HEIGHT, WIDTH), FLECKED, id="flecks"),
]


@pytest.mark.parametrize("curve", [plain, smoothstep_s(0.4)], ids=["plain curve", "S curve"])
@pytest.mark.parametrize("lab", [CREAM, SAGE, NAVY, NEARLY_WHITE])
def test_one_colour_is_one_colour(measure: Measure, lab: tuple[float, float, float], curve: Curve) -> None:
    found = measure(0, [lab], material="paint", curve=curve)
    assert len(found.reading.colours) == 1
    assert found.main.share == pytest.approx(1.0)
    assert found.main.part == "field"
    assert found.de00(0) < 1.5


@pytest.mark.parametrize(("material", "labels", "colours"), PATTERNS)
def test_patterns_give_their_colours_and_shares(
    measure: Measure, material: str, labels: Floats, colours: Colours
) -> None:
    found = measure(labels, colours, material=material)
    assert abs(len(found.reading.colours) - len(colours)) <= 1
    assert float(delta_e_2000(found.main.lab, found.labs[int(found.shares.argmax())])) < 1.5
    for label in range(len(colours)):
        assert found.share(label) == pytest.approx(found.shares[label], abs=0.10)
    assert sum(c.share for c in found.reading.colours) == pytest.approx(1.0, abs=0.06)


@pytest.mark.parametrize(("material", "labels", "colours"), PATTERNS)
def test_patterns_in_light_that_falls_off_strongly(
    measure: Measure, material: str, labels: Floats, colours: Colours
) -> None:
    """One end has a third of the other's light."""
    found = measure(labels, colours, material=material, light_on=lambda scene: scene.fall_off(across=0.8, down=0.3))
    assert abs(len(found.reading.colours) - len(colours)) <= 1
    assert float(delta_e_2000(found.main.lab, found.labs[int(found.shares.argmax())])) < 1.5
    for label in range(len(colours)):
        assert found.share(label) == pytest.approx(found.shares[label], abs=0.10)


def test_parts_are_named_by_what_they_look_like(measure: Measure) -> None:
    tiled = measure(tiles(HEIGHT, WIDTH), TILE, material="tile")
    assert (tiled.part(0), tiled.part(2)) == ("field", "grout")
    assert {c.part for c in measure(boards(HEIGHT, WIDTH), BOARDS, material="timber").reading.colours} == {"board"}
    for thickness in (5, 14):
        assert measure(veins(HEIGHT, WIDTH, thickness=thickness), VEINED).part(1) == "vein"
    assert measure(flecks(HEIGHT, WIDTH), FLECKED).part(1) == "fleck"


def soft_shadow(scene: Scene) -> None:
    """A third of the surface gets half of the light, the edge as soft as a window's shadow is."""
    columns = np.arange(scene.width)
    scene.light *= (0.5 + 0.5 / (1 + np.exp(-(columns - 180) / 12.0)))[None, :, None]


def highlight(scene: Scene) -> None:
    """The lamp mirrored in a gloss: its own colour added, over one corner."""
    rows, columns = np.mgrid[0 : scene.height, 0 : scene.width]
    spot = np.exp(-((columns - 470) ** 2 + (rows - 90) ** 2) / (2 * 45.0**2))
    white = np.array([0.95047, 1.0, 1.08883])  # D65: the added light reflects as a mirror would
    scene.xyz += 0.25 * spot[..., None] * white


@pytest.mark.parametrize("lab", [CREAM, SAGE, NAVY])
@pytest.mark.parametrize("material", ["paint", "stone"])
def test_a_shadow_is_not_a_second_colour(measure: Measure, material: str, lab: tuple[float, float, float]) -> None:
    found = measure(0, [lab], material=material, light_on=soft_shadow)
    assert len(found.reading.colours) == 1
    assert found.main.share > 0.95
    # The mean over light and shadow would be 4.6 off for the cream, 5.3 for the sage, 3.9 for the navy.
    assert found.de00(0) < 3.0


@pytest.mark.parametrize("lab", [SAGE, NAVY])
def test_a_highlight_is_not_a_second_colour(measure: Measure, lab: tuple[float, float, float]) -> None:
    found = measure(0, [lab], material="paint", light_on=highlight)
    assert len(found.reading.colours) == 1
    assert found.de00(0) < 1.5


@pytest.mark.parametrize("down", [0.0, 0.5])
@pytest.mark.parametrize("lab", [CREAM, SAGE, NAVY])
def test_fall_off_on_one_material_is_light_and_not_colour(
    measure: Measure, lab: tuple[float, float, float], down: float
) -> None:
    """Light falls to 0.3 of its level across the surface; the card lies in the middle."""
    found = measure(0, [lab], material="laminate", light_on=lambda scene: scene.fall_off(across=1.2, down=down))
    assert len(found.reading.colours) == 1
    assert found.de00(0) < 1.5


def test_the_same_scene_in_srgb_and_display_p3_is_the_same_surface(measure: Measure) -> None:
    """Display P3: SMPTE EG 432-1 primaries, D65, the curve of IEC 61966-2-1.

    The two files round differently: single colours may differ by a level of 8 bits, all of them together may not.
    """
    labs = [CREAM, SAGE, NAVY, NEARLY_WHITE, *TILE, *BOARDS]
    pairs = [[measure(0, [lab], space=space).main.lab for space in (srgb(), display_p3())] for lab in labs]
    first, second = np.array(pairs).swapaxes(0, 1)
    assert float(delta_e_2000(first, second).max()) < 1.5
    assert np.abs((first - second).mean(axis=0)).max() < 0.3


def test_readings_repeat_to_the_last_bit(measure: Measure) -> None:
    first, second = (measure(tiles(HEIGHT, WIDTH), TILE, material="tile").reading for _ in range(2))
    assert len(first.colours) == len(second.colours)
    for a, b in zip(first.colours, second.colours, strict=True):
        assert a.lab.tobytes() == b.lab.tobytes()
        assert a.covariance.tobytes() == b.covariance.tobytes()
        assert (a.share, a.part) == (b.share, b.part)


def test_every_covariance_is_a_covariance(measure: Measure) -> None:
    for colour in measure(tiles(HEIGHT, WIDTH), TILE, material="tile").reading.colours:
        np.testing.assert_allclose(colour.covariance, colour.covariance.T)
        assert np.linalg.eigvalsh(colour.covariance).min() > 0
