"""The light that several cards at one place tell together, and how far they leave it open, on scenes of known light."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from matcher.calibration.lamp import lamp_share, warmth_of
from matcher.calibration.light import Light, brightened, decode_tables, light_at, telling
from matcher.calibration.patch import LEVELS, Patch, read_patch
from matcher.calibration.tone_curve import ToneCurve
from matcher.colorimetry.adaptation import BRADFORD
from matcher.colorimetry.spaces import WHITE_D65
from matcher.photo.colour_space import srgb
from tests.calibration.made_patch import made
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


def test_what_lies_over_everything_brightens_the_dark_more_than_white() -> None:
    """Light s over all: white reads 1 + s and what reflects r reads r + s, so r against white is (r + s) / (1 + s)."""
    reflected = np.array([1.0, 0.5, 0.04])
    for stray in (0.02, -0.01):
        expected = np.log((reflected + stray) / (1 + stray)) - np.log(reflected)
        np.testing.assert_allclose(brightened(reflected, np.full(3, stray)), expected, atol=1e-12)
    assert brightened(np.ones(3), np.full(3, 0.1)).tolist() == [0, 0, 0]
    # Not more can be taken off than is there: a twentieth of what is reflected is left, white 1 - 0.04.
    taken = brightened(np.full(3, 0.04), np.full(3, -0.04))
    np.testing.assert_allclose(taken, np.log(0.05 / 0.96), atol=1e-12)


def test_stray_light_over_a_card_is_taken_from_the_light_it_tells() -> None:
    """A card of 0.18 under light L with a tenth of it over all reads 0.28 L: white there reads 1.1 L."""
    table = np.linspace(0, 1, LEVELS)
    patch = made((70, 70, 70))
    found = light_at([patch], table, np.stack([table] * 5), srgb(), stray=np.full(3, 0.1))
    white = 1.1 * (70 / 255) / 0.28
    np.testing.assert_allclose(found.cones, np.log(white * BRADFORD @ WHITE_D65), atol=1e-4)


def test_cards_tell_the_light_before_chips_and_grey_ones_before_black() -> None:
    grey, black, chip = made((99, 99, 99)), made((30, 30, 30), reflectance=0.04), made((99, 99, 99), colour_sd=0.05)
    assert telling([chip, black, grey]) == [grey]
    assert telling([chip, black]) == [black]
    assert telling([chip]) == [chip]


def test_several_cards_are_as_large_as_their_areas_together() -> None:
    """Side by side, four cards of 40 by 40 cover what one of 80 by 80 does."""
    found = told_by([made((99, 99, 99), on="floor", foreshortening=shown) for shown in (0.4, 0.6, 0.8, 1.0)])
    assert found.extent == pytest.approx(80)
    assert found.foreshortening == pytest.approx(0.7)
    assert found.on == "floor"


def test_the_light_moves_with_the_curve_by_its_derivative() -> None:
    """Against a central difference of a step of another size."""
    strength, step = np.array([0.1, -0.3, -0.2, 0.0, 0.2]), 1e-3
    patch = made((150, 120, 90))
    found = light_at([patch], *decode_tables(ToneCurve(strength, np.eye(5), 0), srgb()), srgb())
    for moved, axis in zip(found.curve_shift, np.eye(5), strict=True):
        either = [
            light_at([patch], *decode_tables(ToneCurve(strength + sign * step * axis, np.eye(5), 0), srgb()), srgb())
            for sign in (1, -1)
        ]
        np.testing.assert_allclose(moved, (either[0].cones - either[1].cones) / (2 * step), rtol=0.02, atol=1e-6)


def test_what_cards_leave_open_adds_up_in_squares() -> None:
    """The card's own doubt, what the curve leaves unexplained, what cards say against each other: independent."""
    table = np.linspace(0, 1, LEVELS)
    paper = made((120, 120, 120), level_sd=0.06, colour_sd=0.08)
    alone = light_at([paper], table, np.stack([table] * 5), srgb(), misfit=0.03)
    assert alone.card_sd[0] == pytest.approx(np.hypot(0.06, 0.03))
    # What no curve explains is mostly the same in all channels: less than half of it in colour.
    in_colour = np.sqrt(alone.card_sd[1] ** 2 - 0.08**2)
    assert 0 < in_colour < 0.5 * 0.03
    surer = made((120, 120, 120), level_sd=0.01, colour_sd=0.02)
    both = light_at([paper, surer], table, np.stack([table] * 5), srgb())
    assert both.card_sd == pytest.approx((0.06, 0.08))


def test_cards_that_disagree_in_colour_leave_colour_open() -> None:
    """The same light by definition of the root mean square: deviations from the mean, level and what is left of it."""
    table = np.linspace(0, 1, LEVELS)
    codes = np.array([[120, 110, 90], [120, 120, 130], [125, 119, 118]])
    # As the curve found has it: whatever its neighbours say.
    found = light_at([made(each) for each in codes], table, np.stack([table**1.5] * 5), srgb())
    claimed = np.log(codes / 255 / 0.18 @ (BRADFORD @ srgb().to_xyz).T)
    level, left = claimed.mean(axis=1), claimed - claimed.mean(axis=1, keepdims=True)
    expected = [np.sqrt(np.var(level) - 0.02**2) if np.var(level) > 0.02**2 else 0.0]
    expected.append(np.sqrt(np.mean(np.var(left, axis=0)) - 0.02**2))
    assert found.card_sd == pytest.approx(expected, abs=1e-9)
    np.testing.assert_allclose(found.cones, claimed.mean(axis=0), atol=1e-9)
