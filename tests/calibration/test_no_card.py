"""A guessed light: scenes of known light, what is refused, what is said."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.stats import pmean

from matcher.calibration.correction import lamp_correction, unknown_camera_correction, unknown_camera_sd
from matcher.calibration.lamp import lamp_share
from matcher.calibration.light import Light, cone_matrix
from matcher.calibration.no_card import calibrate_without_card, picture_light
from matcher.calibration.patch import LEVELS
from matcher.calibration.photo_calibration import PhotoCalibration
from matcher.calibration.scene_statistics import grey_edge
from matcher.calibration.tone_curve import ToneCurve, linear_table, plain_table, same_camera_curve
from matcher.colorimetry.adaptation import BRADFORD
from matcher.colorimetry.spaces import WHITE_D65, Floats, srgb_decode, srgb_encode
from matcher.errors import CardError
from matcher.photo.colour_space import srgb
from matcher.photo.decoded import Photo
from tests.calibration.scenes import WARM_LIGHT, Scene, as_photo, smoothstep_s

Pixels = NDArray[np.uint8]

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
    assert [(f.check, f.level) for f in bare.findings] == [("light guessed", "warn")]
    assert [(f.check, f.level) for f in white.findings] == [("light guessed by white", "warn")]
    assert all(each.guessed and each.patches == () == each.charts and each.cast is None for each in (bare, white))
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
    found = calibrate_without_card(photo, "room.jpg", believed=lent)
    assert found.curve is lent
    np.testing.assert_array_equal(found.table, linear_table(lent.strength, srgb(), LEVELS))


@pytest.mark.parametrize("value", [0, 255])
def test_a_picture_that_is_mostly_burnt_out_or_black_is_refused(value: int) -> None:
    pixels = np.full((200, 200, 3), value, np.uint8)
    pixels[:60, :60] = 120
    with pytest.raises(CardError, match="cannot be guessed either") as caught:
        calibrate_without_card(as_photo(pixels, srgb()), "room.jpg")
    (problem,) = caught.value.problems
    assert (problem.where, "grey card" in problem.remedy) == ("room.jpg", True)


@pytest.mark.parametrize("size", [(3, 3), (1, 400), (40, 2)])
def test_pictures_of_any_size_give_finite_numbers(size: tuple[int, int]) -> None:
    pixels = np.random.default_rng(0).integers(20, 230, (*size, 3)).astype(np.uint8)
    (own,) = calibrate_without_card(as_photo(pixels, srgb()), "room.jpg").lights
    assert np.isfinite(own.cones).all()
    assert np.isfinite(own.curve_shift).all()


RAW = replace(
    srgb(), tone_known=True
)  # a file that is light and no camera's curve: what is guessed of it is arithmetic
LUMINANCE = np.array([0.2126, 0.7152, 0.0722])  # IEC 61966-2-1


def patchwork(seed: int, *, height: int = 120, width: int = 160) -> Pixels:
    """File values of rectangles of all colours, so that no part is plain and large."""
    rng = np.random.default_rng(seed)
    pixels = rng.integers(40, 220, (height, width, 3)).astype(np.uint8)
    for _ in range(40):
        x, y = rng.integers((0, 0), (width, height)).tolist()
        pixels[y : y + 12, x : x + 14] = rng.integers(20, 240, 3)
    return pixels


def shown(linear: Floats) -> Photo:
    """A photo in raw of linear values (H, W, 3)."""
    return as_photo((srgb_encode(np.clip(linear, 0, 1)) * 255).round().astype(np.uint8), RAW)


def light_of(photo: Photo) -> Light:
    (own,) = calibrate_without_card(photo, "room.jpg").lights
    return own


def luminance_of(light: Light) -> float:
    """Y of a white under a light: Bradford's cones back to XYZ."""
    return float(np.linalg.solve(BRADFORD, np.exp(light.cones))[1])


def test_the_light_is_what_its_definition_gives() -> None:
    """Colour: three quarters of the way to the mean of two statistics, each over what is neither burnt out (253 and
    more) nor black (3 and less). Level: Minkowski mean of luminance, order 4, over 0.52 (SciPy's power mean).
    """
    pixels = patchwork(1)
    pixels[20:40, 20:50, 0], pixels[60:90, 100:140] = 253, 3
    pixels[5:15, 60:90, 2], pixels[100:110, 5:30] = 252, 4
    usable = (pixels.max(axis=2) < 253) & (pixels.max(axis=2) > 3)
    linear = srgb_decode(pixels / 255)
    statistics = [pmean(linear[usable], 6, axis=0), grey_edge(linear, usable, 6.0, 1.0)]
    rgb = np.exp(0.75 * np.mean([np.log(each / each[1]) for each in statistics], axis=0))
    luminance = pmean((linear @ LUMINANCE).ravel(), 4) / 0.52
    found = light_of(as_photo(pixels, RAW))
    assert luminance_of(found) == pytest.approx(luminance, rel=2e-3)
    cones = cone_matrix(RAW) @ rgb
    np.testing.assert_allclose(found.cones - found.cones[1], np.log(cones / cones[1]), atol=2e-4)


@pytest.mark.parametrize("lost", [7, 9])
def test_a_pixel_of_the_small_copy_counts_where_most_of_what_it_stands_for_does(lost: int) -> None:
    """Sixteen pixels in one, so many of them burnt out in a quarter of the copy: colour by the definition above."""
    pixels = patchwork(7, height=192, width=256)
    blocks = pixels.reshape(192, 1, 256, 1, 3).repeat(4, axis=1).repeat(4, axis=3)
    blocks[96:, np.arange(16)[:lost] // 4, :128, np.arange(16)[:lost] % 4] = (254, 60, 60)
    small = blocks.astype(float).mean(axis=(1, 3)).round()
    usable = np.ones((192, 256), bool)
    usable[96:, :128] = lost < 8
    linear = srgb_decode(small / 255)
    statistics = [pmean(linear[usable], 6, axis=0), grey_edge(linear, usable, 6.0, 1.0)]
    cones = cone_matrix(RAW) @ np.exp(0.75 * np.mean([np.log(each / each[1]) for each in statistics], axis=0))
    found = light_of(as_photo(blocks.reshape(768, 1024, 3), RAW)).cones
    np.testing.assert_allclose(found - found[1], np.log(cones / cones[1]), atol=1e-3)


def test_a_white_counts_for_half_of_the_level() -> None:
    """The geometric mean of what the picture says, as above, and what white paint says, which reflects 0.75 of it."""
    pixels = patchwork(2)
    pixels[10:60, 10:100] = 230
    linear = srgb_decode(pixels / 255)
    by_picture, by_white = pmean((linear @ LUMINANCE).ravel(), 4) / 0.52, srgb_decode(np.array(230 / 255)) / 0.75
    calibration = calibrate_without_card(as_photo(pixels, RAW), "room.jpg")
    assert [f.check for f in calibration.findings] == ["light guessed by white"]
    assert luminance_of(calibration.lights[0]) == pytest.approx(np.sqrt(by_picture * by_white), rel=2e-3)


def test_the_level_does_not_hang_on_the_colour() -> None:
    """Two pictures of the same luminance everywhere, one orange and one blue: a white is as light in both."""
    grey = np.random.default_rng(7).uniform(0.05, 0.2, (60, 80, 1))
    orange, blue = (
        luminance_of(light_of(shown(grey * colour / (LUMINANCE @ colour))))
        for colour in (np.array([1.0, 0.6, 0.2]), np.array([0.4, 0.6, 1.4]))
    )
    assert orange == pytest.approx(blue, rel=0.01)


@pytest.mark.parametrize("times", [2, 4])
def test_a_larger_copy_of_a_picture_has_the_same_light(times: int) -> None:
    """Each pixel a block: what is looked at is a copy of 256 pixels at most, each the mean of its block."""
    pixels = patchwork(3, height=192, width=256)
    small, large = (
        light_of(as_photo(each, RAW)) for each in (pixels, pixels.repeat(times, axis=0).repeat(times, axis=1))
    )
    np.testing.assert_allclose(large.cones, small.cones, atol=1e-6)
    assert (small.position.tolist(), small.extent, small.foreshortening) == ([128, 96], 256, 1)
    assert (large.position.tolist(), large.extent) == ([128 * times, 96 * times], 256 * times)


def test_the_rough_look_at_a_picture_has_the_colour_of_the_guess() -> None:
    """It leaves out pixels of large pictures only."""
    pixels = patchwork(4, height=192, width=256)
    table = plain_table(RAW, LEVELS)
    guess = light_of(as_photo(pixels, RAW)).cones
    for times in (1, 2, 4):
        look = picture_light(as_photo(pixels.repeat(times, axis=0).repeat(times, axis=1), RAW), table)
        assert look is not None
        np.testing.assert_allclose(look - look[1], guess - guess[1], atol=1e-6)
    burnt = np.full((64, 64, 3), 255, np.uint8)
    assert picture_light(as_photo(burnt, RAW), table) is None


@pytest.mark.parametrize("white", [False, True])
def test_the_guess_moves_with_the_curve_by_its_derivative(white: bool) -> None:
    """Against a central difference of another step, the curve lent by another photo."""
    pixels = patchwork(5, height=60, width=80)
    if white:
        pixels[5:35, 5:60] = 230
    photo = as_photo(pixels, srgb())
    assert calibrate_without_card(photo, "room.jpg").findings[0].check.endswith("by white") is white
    strength, step = np.array([0.0, -0.2, -0.2, 0.0, 0.2]), 0.004

    def under(moved: Floats) -> Light:
        lent = ToneCurve(moved, 0.01 * np.eye(5), 0)
        return calibrate_without_card(photo, "room.jpg", believed=lent).lights[0]

    shift = under(strength).curve_shift
    for found, axis in zip(shift, np.eye(5), strict=True):
        either = [under(strength + sign * step * axis).cones for sign in (1, -1)]
        np.testing.assert_allclose(found, (either[0] - either[1]) / (2 * step), rtol=0.03, atol=3e-4)


def test_only_what_a_camera_developed_may_have_another_chroma() -> None:
    pixels = patchwork(6)
    raw, developed = (calibrate_without_card(as_photo(pixels, space), "room.jpg") for space in (RAW, srgb()))
    assert raw.chroma_sd == 0 < developed.chroma_sd
    assert raw.lamp == developed.lamp == 0
    np.testing.assert_array_equal(raw.correction, np.eye(3))
    np.testing.assert_array_equal(developed.correction, unknown_camera_correction(0.0, developed=True))
    assert (raw.curve.covariance < developed.curve.covariance.max() / 100).all()


def test_a_lamp_is_told_by_the_warmth_of_the_guess() -> None:
    """Red over blue of the light guessed, from its cones (Bradford); by how much: test_lamp.py."""
    pixels = (patchwork(6) * [1.0, 0.9, 0.8]).astype(np.uint8)
    found = calibrate_without_card(as_photo(pixels, RAW), "room.jpg")
    light = np.linalg.solve(cone_matrix(RAW), np.exp(found.lights[0].cones))
    assert 0 < found.lamp < 1
    assert found.lamp == pytest.approx(lamp_share(float(np.log(light[0] / light[2]))), abs=1e-6)
    np.testing.assert_array_equal(found.correction, lamp_correction(found.lamp))
    assert found.camera_sd == unknown_camera_sd(found.lamp)


def test_the_middle_one_of_three_channels_tells_the_noise() -> None:
    signs = (2 * (np.indices((90, 90)).sum(axis=0) % 2) - 1)[..., None]
    pixels = (120 + signs * [9, 3, 1]).astype(np.uint8)
    assert calibrate_without_card(as_photo(pixels, srgb()), "room.jpg").noise * 255 == pytest.approx(3, rel=1e-3)


def test_noise_is_the_spread_of_calm_windows_that_are_neither_dark_nor_light() -> None:
    """A chequerboard of three file values up and down has a standard deviation of three, but for its odd pixel."""
    pixels = (120 + 3 * (2 * (np.indices((180, 180)).sum(axis=0) % 2) - 1))[..., None].repeat(3, axis=2)
    pixels[:90], pixels[:, :90] = np.where(pixels[:90] > 120, 250, 245), 26
    found = calibrate_without_card(as_photo(pixels.astype(np.uint8), srgb()), "room.jpg").noise
    assert found == pytest.approx(3 / 255, rel=1e-3)


@pytest.mark.parametrize(("level", "light"), [(35, 1 / 60), (215, 0.68)])
def test_noise_is_seen_in_a_shadow_and_on_a_white_wall(level: int, light: float) -> None:
    """File values by IEC 61966-2-1; white paint reflects more than two thirds."""
    assert float(srgb_decode(np.array(level / 255))) == pytest.approx(light, rel=0.02)
    pixels = (level + 3 * (2 * (np.indices((90, 90)).sum(axis=0) % 2) - 1))[..., None].repeat(3, axis=2)
    found = calibrate_without_card(as_photo(pixels.astype(np.uint8), srgb()), "room.jpg").noise
    assert found == pytest.approx(3 / 255, rel=1e-3)


@pytest.mark.parametrize(("calm", "sigma"), [(23, 3), (17, 9)])
def test_it_is_a_tenth_of_the_windows_that_has_to_be_calm(calm: int, sigma: int) -> None:
    """Of two hundred columns of windows, three times as rough but for 11.5 or for 8.5 %."""
    signs = (2 * (np.indices((54, 1800)).sum(axis=0) % 2) - 1)[..., None].repeat(3, axis=2)
    pixels = (120 + signs * np.where(np.arange(1800) < 9 * calm, 3, 9)[:, None]).astype(np.uint8)
    found = calibrate_without_card(as_photo(pixels, srgb()), "room.jpg").noise
    assert found * 255 == pytest.approx(sigma, rel=1e-3)


def test_the_calmest_tenth_of_windows_tells_the_noise() -> None:
    """Two thirds of the picture three times as rough: texture, for noise is everywhere."""
    signs = (2 * (np.indices((180, 180)).sum(axis=0) % 2) - 1)[..., None].repeat(3, axis=2)
    pixels = 120 + signs * np.where(np.arange(180) < 63, 3, 9)[:, None]
    assert calibrate_without_card(as_photo(pixels.astype(np.uint8), srgb()), "room.jpg").noise * 255 == pytest.approx(
        3, rel=1e-3
    )


def test_a_picture_of_one_colour_has_a_light_and_the_noise_of_whole_numbers() -> None:
    """Whatever the pixels say, rounding may be off by half of a file value."""
    flat = calibrate_without_card(as_photo(np.full((90, 90, 3), 120, np.uint8), srgb()), "room.jpg")
    assert flat.noise * 255 == pytest.approx(np.abs(np.linspace(0, 1, 101) - np.linspace(0, 1, 101).round()).max())
    assert np.isfinite(flat.lights[0].cones).all()
