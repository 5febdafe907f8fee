"""Two lights at the cards of a photo are told from one light that falls off until what rooms throw back shows."""

from __future__ import annotations

import numpy as np
import pytest

from matcher.calibration.light import Light
from matcher.calibration.lights_apart import lights_apart
from matcher.calibration.photo_calibration import calibrate
from matcher.colorimetry.adaptation import relative_cones
from matcher.colorimetry.spaces import Floats, lab_to_xyz
from matcher.photo.decoded import Finding
from matcher.report.wording import finding_sentence
from tests.calibration.scenes import GREY, WARM_LIGHT, Scene

NEAR, FAR = np.s_[:, :160], np.s_[:, 160:]
OAK = relative_cones(lab_to_xyz(np.array([60.0, 14.0, 32.0])))
THROWN_BACK = 0.2  # of the direct light, as a room of pale walls throws it on an oak floor and back (assumption)


def said(scene: Scene) -> list[Finding]:
    scene.lay(GREY, (20, 40, 80, 100), on="worktop")
    scene.lay(GREY, (220, 40, 280, 100), on="floor")
    return [f for f in calibrate(scene.shoot(), scene.cards, "photo").findings if f.check == "mixed light"]


def lit(near: Floats | float, far: Floats | float) -> Scene:
    scene = Scene(140, 320)
    scene.light[NEAR], scene.light[FAR] = near, far
    return scene


def test_two_lamps_in_one_picture_are_warned_of() -> None:
    (finding,) = said(lit(0.7, 0.7 * WARM_LIGHT))
    assert finding.level == "warn"
    assert "lights of different colour meet" in finding_sentence(finding).lower()


@pytest.mark.parametrize("dimmer", [0.8, 0.5])
def test_a_lamp_in_a_dimmer_corner_is_warned_of(dimmer: float) -> None:
    """Daylight by the window, a lamp away from it: too warm for what a room throws back so near the window."""
    (finding,) = said(lit(0.7, dimmer * 0.7 * np.array([1.25, 1.0, 0.6])))
    assert finding.level == "warn"


def test_one_light_is_not_spoken_of() -> None:
    assert said(lit(0.6, 0.6)) == []
    assert said(lit(0.7, 0.25)) == []


@pytest.mark.parametrize("arriving", [0.05, 0.02])
def test_one_light_that_hardly_arrives_is_no_two(arriving: float) -> None:
    """The light of each place is what arrives of one lamp and what oak throws back of it, added."""
    near, far = (0.6 * (direct + THROWN_BACK * OAK) for direct in (1.0, arriving))
    (finding,) = said(lit(near, far))
    assert finding.level == "note"
    assert "lights of different colour" not in finding_sentence(finding).lower()
    assert "thrown back" in finding_sentence(finding)


def told(*cards: tuple[float, float]) -> list[tuple[str, float]]:
    """What is said of lights of (level, red against blue), logarithms."""
    lights = [
        Light(np.zeros(2), 10.0, 1.0, np.array([level + warmth, level, level]), None, np.zeros((5, 3)))
        for level, warmth in cards
    ]
    return [(f.level, float(f.values[0][1])) for f in lights_apart(lights)]


HALF = float(-np.log(2))


@pytest.mark.parametrize("order", [1, -1])
def test_half_the_light_may_be_warmer_by_what_is_thrown_back_of_the_other_half(order: int) -> None:
    """As many times 0.3 more as there is less light, so 0.3 at half of it, and 0.16 beyond that is another light."""
    assert told(*[(0.0, 0.0), (HALF, 0.15)][::order]) == []
    assert told(*[(0.0, 0.0), (HALF, 0.45)][::order]) == [("note", 0.45)]
    assert told(*[(0.0, 0.0), (HALF, 0.47)][::order]) == [("warn", 0.47)]
    # The brighter of two is not the warmer.
    assert told(*[(0.0, 0.2), (HALF, 0.0)][::order]) == [("warn", 0.2)]
    # How light the picture is, and how warm all of it, does not matter.
    assert told(*[(2.0, 0.7), (HALF + 2, 1.15)][::order]) == [("note", 0.45)]


def test_of_several_lights_those_furthest_apart_are_told_of() -> None:
    assert told((0.0, 0.1), (-0.01, 0.0), (0.01, 0.3)) == [("warn", 0.3)]
    assert told((0.0, 0.1)) == []
