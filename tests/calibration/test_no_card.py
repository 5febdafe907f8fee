"""A guessed light: scenes of known light, what is refused, what is said."""

from __future__ import annotations

import numpy as np
import pytest

from matcher.calibration.light import cone_matrix
from matcher.calibration.no_card import calibrate_without_card
from matcher.calibration.photo_calibration import PhotoCalibration
from matcher.calibration.tone_curve import same_camera_curve
from matcher.colorimetry.adaptation import BRADFORD
from matcher.colorimetry.spaces import WHITE_D65, Floats
from matcher.errors import CardError
from matcher.photo.colour_space import srgb
from tests.calibration.scenes import WARM_LIGHT, Scene, as_photo, smoothstep_s

BLUE_LIGHT = np.array([0.93, 1.0, 1.25])
# The draws of a normal error that a two-sided 99.9 % interval leaves out: standard normal tables.
_SURE = 3.29


def room(seed: int, light: Floats, *, level: float = 0.6, ceiling: bool = False) -> Scene:
    """Patches of muted colours, as rooms have them; a white ceiling on wish."""
    scene = Scene(300, 400, level=level)
    scene.light *= light
    rng = np.random.default_rng(seed)
    for _ in range(60):
        x, y, across, down = rng.integers((0, 0, 30, 30), (360, 260, 120, 100)).tolist()
        lab = (rng.uniform(25, 88), rng.normal(1, 4), rng.normal(6, 9))
        scene.paint((x, y, x + across, y + down), lab)
    if ceiling:
        scene.paint((0, 0, 400, 70), (92.0, 0.0, 2.0))
    return scene


def guessed(scene: Scene) -> PhotoCalibration:
    return calibrate_without_card(scene.shoot(), "room.jpg")


def true_cones(light: Floats, level: float) -> Floats:
    return np.asarray(np.log(level * light * (BRADFORD @ WHITE_D65)))


@pytest.mark.parametrize("light", [WARM_LIGHT, np.ones(3), BLUE_LIGHT], ids=["lamp", "day", "sky"])
@pytest.mark.parametrize("seed", range(4))
def test_drawn_rooms_lie_within_the_stated_doubt(seed: int, light: Floats) -> None:
    calibration = guessed(room(seed, light))
    (own,) = calibration.lights
    off = own.cones - true_cones(light, 0.6)
    assert own.guess_sd is not None
    assert own.on is None
    assert np.all(np.abs([off[1], off[0] - off[1], off[2] - off[1]]) < _SURE * own.guess_sd)


def test_warm_light_is_found_warmer_than_daylight() -> None:
    red_blue = []
    for light in (WARM_LIGHT, BLUE_LIGHT):
        rgb = np.linalg.solve(cone_matrix(srgb()), np.exp(guessed(room(1, light)).lights[0].cones))
        red_blue.append(np.log(rgb[0] / rgb[2]))
    true = [np.linalg.solve(cone_matrix(srgb()), np.exp(true_cones(each, 0.6))) for each in (WARM_LIGHT, BLUE_LIGHT)]
    whole_way = np.log(true[0][0] / true[0][2]) - np.log(true[1][0] / true[1][2])
    assert 0.6 * whole_way < red_blue[0] - red_blue[1] < whole_way


def test_a_plain_white_part_makes_the_level_surer_and_is_said() -> None:
    """L* 92 reflects 0.81 (CIE 015): the ceiling of the drawn room. Orange beside blue holds nothing near-neutral."""
    strong = Scene(300, 400)
    strong.paint((0, 0, 200, 300), (60.0, 35.0, 45.0))
    strong.paint((200, 0, 400, 300), (55.0, -10.0, -35.0))
    bare, white = guessed(strong), guessed(room(2, np.ones(3), ceiling=True))
    assert [f.check for f in bare.findings] == ["light guessed"]
    assert [f.check for f in white.findings] == ["light guessed by white"]
    (without,), (by_white,) = bare.lights, white.lights
    assert without.guess_sd is not None
    assert by_white.guess_sd is not None
    assert by_white.guess_sd[0] < without.guess_sd[0]
    assert abs(by_white.cones[1] - true_cones(np.ones(3), 0.6)[1]) < by_white.guess_sd[0]


def test_a_darker_picture_is_a_darker_light_by_as_much() -> None:
    bright, dark = (guessed(room(3, np.ones(3), level=level)).lights[0] for level in (0.6, 0.3))
    np.testing.assert_allclose(bright.cones - dark.cones, np.log(2), atol=0.03)


def test_the_noise_is_seen_in_the_calm_parts() -> None:
    scene = room(4, np.ones(3))
    for noise in (0.01, 0.02):
        found = calibrate_without_card(scene.shoot(noise=noise), "room.jpg").noise
        assert found == pytest.approx(noise, rel=0.25)


def test_the_curve_is_doubted_and_moves_the_light() -> None:
    calibration = guessed(room(5, np.ones(3)))
    assert calibration.curve.evidence == 0
    assert np.sqrt(calibration.curve.covariance[0, 0]) > 0.1
    assert np.abs(calibration.lights[0].curve_shift).max() > 0.01


def test_a_curve_of_the_same_camera_is_used() -> None:
    scene = room(6, np.ones(3))
    photo = as_photo(scene.develop(curve=smoothstep_s(0.3), space=srgb(), noise=0.0, seed=0), srgb())
    lent = same_camera_curve([guessed(scene).curve])
    assert calibrate_without_card(photo, "room.jpg", believed=lent).curve is lent


@pytest.mark.parametrize("value", [0, 255])
def test_a_picture_that_is_mostly_burnt_out_or_black_is_refused(value: int) -> None:
    pixels = np.full((200, 200, 3), value, np.uint8)
    pixels[:60, :60] = 120
    with pytest.raises(CardError, match="cannot be guessed either") as caught:
        calibrate_without_card(as_photo(pixels, srgb()), "room.jpg")
    assert "grey card" in str(caught.value)


@pytest.mark.parametrize("size", [(3, 3), (1, 400), (40, 2)])
def test_pictures_of_any_size_give_finite_numbers(size: tuple[int, int]) -> None:
    pixels = np.random.default_rng(0).integers(20, 230, (*size, 3)).astype(np.uint8)
    (own,) = calibrate_without_card(as_photo(pixels, srgb()), "room.jpg").lights
    assert np.isfinite(own.cones).all()
    assert np.isfinite(own.curve_shift).all()
