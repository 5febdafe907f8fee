"""Two lights at the cards of a photo are told from one light that falls off until what rooms throw back shows."""

from __future__ import annotations

import numpy as np
import pytest

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
