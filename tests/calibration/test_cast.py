"""Gains and angle of a cast, and the light at a card, on known values."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from matcher.calibration.cast import measure_cast
from matcher.calibration.light import cone_matrix
from matcher.calibration.photo_calibration import calibrate
from matcher.colorimetry.adaptation import BRADFORD
from matcher.colorimetry.colour_library import colour_library
from matcher.colorimetry.spaces import WHITE_D65, Floats
from matcher.photo.colour_space import srgb
from tests.calibration.made_patches import STRAIGHT, made, straight_space
from tests.calibration.scenes import GREY, WARM_LIGHT, Scene
from tests.calibration.test_patch import PLAIN_TABLE, flat, read


@pytest.mark.parametrize(
    ("linear", "gains", "angle_deg"),
    [
        ((0.2, 0.2, 0.2), (1, 1, 1), 0.0),
        ((0.4, 0.2, 0.1), (0.5, 1, 2), 28.125),
        # A face diagonal of the cube against its space diagonal: acos(2 / sqrt(6)) = 35.264 degrees.
        ((0.2, 0.2, 0.0), (1, 1, np.inf), 35.264),
    ],
)
def test_gains_and_recovery_angle(
    linear: tuple[float, float, float], gains: tuple[float, float, float], angle_deg: float
) -> None:
    """Recovery error acos(e . w / |e||w|), as illuminant estimation is scored (Cheng et al. 2015, CVPR)."""
    patch = read(flat(linear))
    with np.errstate(divide="ignore"):
        cast = measure_cast([patch], PLAIN_TABLE, srgb())
    np.testing.assert_allclose(cast.gains, gains, rtol=0.02)
    assert cast.angle_deg == pytest.approx(angle_deg, abs=0.4)
    assert cast.residual_de00 < 0.1


def test_the_cast_is_told_by_grey_cards_where_there_are_any() -> None:
    """Paper and chips have a colour of their own that is not known well: beside a card they say nothing of the cast."""
    card, paper = read(flat((0.2, 0.2, 0.2))), replace(read(flat((0.4, 0.2, 0.1))), colour_sd=0.06)
    found = measure_cast([card, paper], PLAIN_TABLE, srgb())
    np.testing.assert_allclose(found.gains, 1, rtol=0.02)
    assert found.angle_deg < 0.4
    assert measure_cast([paper], PLAIN_TABLE, srgb()).angle_deg == pytest.approx(28.125, abs=0.4)


def test_what_is_left_across_a_tinted_card_is_stated() -> None:
    """A card that runs from b* -3 to +3: its quarters lie 1.5 from the mean, which near grey is dE00 1.4."""
    scene = Scene(140, 160)
    card = scene.lay(GREY, (40, 40, 100, 90))
    for column in range(40, 100):
        scene.paint((column, 40, column + 1, 90), [49.5, 0, -3 + 6 * (column - 40) / 59])
    cast = calibrate(scene.shoot(), [card], "photo").cast
    assert cast.residual_de00 == pytest.approx(1.4, abs=0.4)


def test_light_at_a_card_is_what_was_put_there() -> None:
    scene = Scene(140, 160, level=0.6)
    scene.light *= WARM_LIGHT
    scene.lay(GREY, (40, 40, 100, 90))
    measured = calibrate(scene.shoot(), scene.cards, "photo")
    # Without evidence a believed strength stands for the curve: compare under that curve's own level.
    plain = np.log(cone_matrix(srgb()) @ read_linear(scene) / 0.18)
    np.testing.assert_allclose(np.exp(plain), 0.6 * WARM_LIGHT * (BRADFORD @ WHITE_D65), rtol=0.01)
    shift = measured.lights[0].curve_shift.T @ measured.curve.strength
    np.testing.assert_allclose(measured.lights[0].cones, plain + shift, atol=0.03)


def test_the_cast_is_the_mean_over_cards_of_what_they_say_of_white() -> None:
    """Each says its own light over what it reflects, a tinted one over its tint; the angle is that to (1, 1, 1)."""
    lights = np.array([[0.9, 0.8, 0.5], [0.7, 0.6, 0.5], [0.5, 0.7, 0.8]])
    tint = np.array([0.5, 0.4, 0.2])
    cards = [made(0.18 * lights[0]), made(0.6 * lights[1], 0.6), made(tint * lights[2], 0.4, tint=tint)]
    found = measure_cast(cards, STRAIGHT, straight_space())
    white = lights.mean(axis=0)
    np.testing.assert_allclose(found.gains, white[1] / white, rtol=1e-9)
    assert found.angle_deg == pytest.approx(np.degrees(np.arccos(white.sum() / np.sqrt(3 * (white @ white)))))
    for level in np.linspace(0.05, 0.95, 40):  # whatever rounding makes of the cosine
        assert measure_cast([made(level)], STRAIGHT, straight_space()).angle_deg == pytest.approx(0, abs=1e-5)


def test_what_is_left_is_the_farthest_quarter_of_any_card_as_colour_science_adapts_it() -> None:
    """XYZ of each quarter at the card's reflectance, from the card's own mean to D65 by von Kries on Bradford's cones;
    CIEDE2000 against a grey of that reflectance.
    """
    colour = colour_library()
    rng = np.random.default_rng(8)
    space, left, light = straight_space(), [], np.array([0.8, 0.7, 0.4])
    cards = [made(reflectance * light * rng.uniform(0.9, 1.1, (4, 3)), reflectance) for reflectance in (0.2, 0.55)]
    for card in cards:
        quarters = card.linear_quadrants(STRAIGHT) @ space.to_xyz.T
        mean = quarters.mean(axis=0)
        adapted = colour.adaptation.chromatic_adaptation_VonKries(
            card.reflectance * quarters / mean[1], mean / mean[1], WHITE_D65, transform="Bradford"
        )
        white = colour.XYZ_to_xy(WHITE_D65)
        labs = colour.XYZ_to_Lab(np.vstack([adapted, card.reflectance * WHITE_D65]), white)
        left.append(float(colour.delta_E(labs[:4], labs[4], method="CIE 2000").max()))
    assert left[0] != pytest.approx(left[1], rel=0.05)
    for order in (cards, cards[::-1]):
        assert measure_cast(order, STRAIGHT, space).residual_de00 == pytest.approx(max(left), rel=1e-6)
    assert measure_cast(cards[1:], STRAIGHT, space).residual_de00 == pytest.approx(left[1], rel=1e-6)


def read_linear(scene: Scene) -> Floats:
    return read(scene.shoot()).linear(PLAIN_TABLE)
