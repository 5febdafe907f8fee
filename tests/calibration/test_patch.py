"""One card in a picture: its statistics against the numbers it was made of, and what is refused."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import ArrayLike

from matcher.calibration.patch import LEVELS, Patch, read_patch
from matcher.calibration.photo_calibration import calibrate
from matcher.calibration.tone_curve import plain_table
from matcher.colorimetry.spaces import Floats, srgb_encode
from matcher.errors import CardError
from matcher.photo.colour_space import srgb
from matcher.photo.decoded import Photo
from matcher.room.contents import Reference
from tests.calibration.scenes import GREY, WARM_LIGHT, WHITE, Box, Scene, as_photo, corners

PLAIN_TABLE = plain_table(srgb(), LEVELS)
CARD = (40, 40, 100, 90)


def flat(linear: ArrayLike, *, noise: float = 0.0, seed: int = 0) -> Photo:
    """A photo of one linear RGB."""
    encoded = srgb_encode(np.broadcast_to(np.asarray(linear, dtype=float), (140, 160, 3)))
    grain = np.random.default_rng(seed).normal(0, noise, encoded.shape) if noise else 0.0
    return as_photo((np.clip(encoded + grain, 0, 1) * 255).round().astype(np.uint8), srgb())


def reference(box: Box = CARD) -> Reference:
    return Reference(kind="grey card", reflectance=0.18, outline=corners(box))


def read(photo: Photo, box: Box = CARD) -> Patch:
    return read_patch(photo, reference(box), "card")


@pytest.mark.parametrize("linear", [(0.18, 0.18, 0.18), (0.3, 0.2, 0.1), (0.02, 0.03, 0.05)])
def test_a_flat_patch_gives_back_its_linear_value_through_noise(linear: tuple[float, float, float]) -> None:
    """Half a level of quantisation at the darkest value is 2 %; noise averages out over 2,000 pixels."""
    found = read(flat(linear, noise=0.02, seed=1)).linear(PLAIN_TABLE)
    np.testing.assert_allclose(found, linear, rtol=0.02)


def test_noise_and_centre_are_as_made() -> None:
    patch = read(flat((0.18, 0.18, 0.18), noise=0.02, seed=2))
    assert patch.noise == pytest.approx(0.02, rel=0.1)
    np.testing.assert_allclose(patch.centre, [70, 65], atol=1.5)


def test_dust_on_the_card_does_not_move_it() -> None:
    pixels = flat((0.18, 0.18, 0.18), noise=0.01).pixels.astype(np.uint8)
    pixels[44:50, 50:56] = 15
    np.testing.assert_allclose(read(as_photo(pixels, srgb())).linear(PLAIN_TABLE), 0.18, rtol=0.01)


def test_an_outline_that_leaves_one_line_of_pixels_is_read() -> None:
    patch = read(flat((0.18, 0.18, 0.18), noise=0.02, seed=3), (10, 50, 150, 52))
    np.testing.assert_allclose(patch.linear(PLAIN_TABLE), 0.18, rtol=0.05)
    assert patch.slope[1] == 0


def test_the_slope_of_light_across_a_card_is_read() -> None:
    scene = Scene(140, 160)
    scene.fall_off(across=0.6)
    card = scene.lay(GREY, CARD)
    patch = read_patch(scene.shoot(), card, "card")
    assert patch.slope[0] == pytest.approx(-0.6 / 160, rel=0.1)
    assert abs(patch.slope[1]) < 0.1 * 0.6 / 160


def test_a_clipped_white_card_is_left_aside() -> None:
    scene = Scene(140, 320, level=1.3)
    scene.lay(WHITE, (20, 40, 80, 100))
    scene.lay(GREY, (80, 40, 140, 100))
    both = calibrate(scene.shoot(), scene.cards, "photo")
    alone = calibrate(scene.shoot(), scene.cards[1:], "photo")
    assert [f.check for f in both.findings if f.check == "clipped patch"] == ["clipped patch"]
    np.testing.assert_allclose(both.lights[0].cones, alone.lights[0].cones)
    assert both.curve.evidence == 0


def test_only_clipped_cards_are_refused() -> None:
    scene = Scene(140, 160, level=1.4)
    scene.lay(WHITE, CARD)
    with pytest.raises(CardError, match="darker") as caught:
        calibrate(scene.shoot(), scene.cards, "kitchen.jpg")
    assert "kitchen.jpg" in str(caught.value)


def test_an_outline_on_something_coloured_is_refused() -> None:
    scene = Scene(140, 160)
    card = scene.lay(GREY, CARD)
    scene.paint(CARD, [50, -40, 35])
    with pytest.raises(CardError, match="not neutral"):
        calibrate(scene.shoot(), [card], "photo")


def test_a_card_under_a_strong_lamp_is_not_called_coloured() -> None:
    scene = Scene(140, 160)
    scene.light *= np.array([1.25, 1.0, 0.35])
    scene.lay(GREY, CARD)
    assert calibrate(scene.shoot(), scene.cards, "photo").cast.angle_deg > 10


def test_a_card_under_glare_is_refused() -> None:
    scene = Scene(140, 160)
    card = scene.lay(GREY, CARD)
    scene.light *= spot_of_glare(scene, CARD)
    with pytest.raises(CardError, match="not even"):
        calibrate(scene.shoot(), [card], "photo")


def test_a_card_half_in_shadow_is_refused() -> None:
    scene = Scene(140, 160)
    card = scene.lay(GREY, CARD)
    scene.light[:, 70:] *= 0.3
    with pytest.raises(CardError, match="not even"):
        calibrate(scene.shoot(), [card], "photo")


def spot_of_glare(scene: Scene, box: Box) -> Floats:
    """Light that rises smoothly to four times its level in the middle of a card."""
    rows, columns = np.mgrid[0 : scene.height, 0 : scene.width]
    left, top, right, bottom = box
    distance = np.hypot((columns - (left + right) / 2) / (right - left), (rows - (top + bottom) / 2) / (bottom - top))
    return np.asarray(1 + 3 * np.exp(-((distance / 0.3) ** 2)))[..., None]


def test_a_black_picture_is_refused() -> None:
    with pytest.raises(CardError, match="black"):
        read(as_photo(np.zeros((140, 160, 3), np.uint8), srgb()))


def test_a_tiny_outline_is_refused_with_the_pixels_it_covers() -> None:
    with pytest.raises(CardError, match=r"\d+ usable pixels"):
        read(flat((0.18, 0.18, 0.18)), (50, 50, 54, 54))


def test_all_bad_cards_are_named_in_one_go() -> None:
    scene = Scene(140, 320)
    scene.light *= WARM_LIGHT
    green, glaring = scene.lay(GREY, (20, 40, 80, 100)), scene.lay(GREY, (200, 40, 260, 100))
    scene.paint((20, 40, 80, 100), [50, -45, 40])
    scene.light *= spot_of_glare(scene, (200, 40, 260, 100))
    with pytest.raises(CardError) as caught:
        calibrate(scene.shoot(), [green, glaring], "photo")
    assert len(caught.value.problems) == 2
