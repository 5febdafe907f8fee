"""The light that several cards at one place tell together, and how far they leave it open, on scenes of known light."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from matcher.calibration.lamp import lamp_share, warmth_of
from matcher.calibration.light import Light, decode_tables, light_at
from matcher.calibration.patch import Patch, read_patch
from matcher.calibration.tone_curve import ToneCurve
from matcher.colorimetry.adaptation import BRADFORD
from matcher.colorimetry.spaces import WHITE_D65
from matcher.photo.colour_space import srgb
from tests.calibration.scenes import GREY, Scene
from tests.calibration.spectral_camera import NIKON, SIGMA, camera, grey_card

NO_CURVE = ToneCurve(np.zeros(5), np.eye(5), 0)


def patches(scene: Scene) -> list[Patch]:
    photo = scene.shoot(noise=0.002)
    return [read_patch(photo, card, "photo") for card in scene.cards]


def told_by(members: list[Patch]) -> Light:
    table, shifted = decode_tables(NO_CURVE, srgb())
    return light_at(members, table, shifted, srgb())


def two_cards(second: float = GREY[1], *, across: float = 0.0) -> list[Patch]:
    """Two grey cards side by side, said to be alike, in light that falls off."""
    scene = Scene(160, 240)
    scene.fall_off(across)
    for left, reflectance in ((40, GREY[1]), (130, second)):
        scene.lay((GREY[0], reflectance), (left, 40, left + 80, 120))
    return [replace(patch, reflectance=GREY[1]) for patch in patches(scene)]


@pytest.mark.parametrize("across", [0.0, 0.6])
def test_cards_that_agree_but_for_a_slope_of_light_leave_nothing_open(across: float) -> None:
    """The scene's light where the middle of the cards lies, to a hundredth."""
    found = told_by(two_cards(across=across))
    assert found.card_sd == (0.0, 0.0)
    there = np.log(0.75 * BRADFORD @ WHITE_D65) - across * found.position[0] / 240
    np.testing.assert_allclose(found.cones, there, atol=0.01)


@pytest.mark.parametrize("second", [0.15, 0.22])
def test_cards_that_disagree_leave_open_what_they_disagree_by(second: float) -> None:
    """Two claims, each half their difference from the mean: that, less in squares what cards do anywhere (0.02)."""
    found = told_by(two_cards(second))
    half = abs(np.log(second / GREY[1])) / 2
    assert found.card_sd[0] == pytest.approx(np.sqrt(half**2 - 0.02**2), abs=0.01)
    assert found.card_sd[1] == 0
    mean = np.log(0.75 * BRADFORD @ WHITE_D65) + np.log(second / GREY[1]) / 2
    np.testing.assert_allclose(found.cones, mean, atol=0.01)


@pytest.mark.parametrize("name", [NIKON, SIGMA])
def test_a_lamp_is_told_from_daylight_by_what_is_left_of_it(name: str) -> None:
    """Measured sensitivities of two cameras (tests/calibration/spectral_camera.py), balanced for daylight."""
    share = {
        light: lamp_share(warmth_of(camera(name).linear_rgb(grey_card(), light)[0])) for light in ("D65", "FL4", "A")
    }
    assert share["D65"] == 0
    assert share["A"] == 1
    assert share["FL4"] > 0.5
