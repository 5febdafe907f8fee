"""What the noise filter leaves, read from the cards; and that it is taken for no second colour."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from matcher.calibration.photo_calibration import calibrate
from matcher.colorimetry.difference import delta_e_2000
from matcher.photo.colour_space import srgb
from matcher.photo.decoded import Photo
from matcher.room.contents import OutlinedSurface
from matcher.surfaces.card_noise import noise_left, values_covariance
from tests.calibration.scenes import Scene, as_photo, corners
from tests.surfaces.scene_reading import read_in

_WALL = [72.0, 2.0, 4.0]
_BLOTCH = 5  # pixels, as of a camera's noise reduction and of JPEG's coarser grid for colour


def blotchy(size: float, seed: int = 0) -> tuple[Scene, Photo]:
    """A painted wall with three cards whose green wanders against its blue by ``size`` file values, one sigma."""
    scene = Scene(420, 560)
    scene.paint((0, 0, 560, 420), _WALL)
    scene.lay_three(200, 180, 60, on="wall")
    pixels = np.asarray(scene.shoot(seed=seed).pixels, dtype=float)
    rng = np.random.default_rng(seed)
    wander: NDArray[np.float32] = cv2.GaussianBlur(rng.normal(size=(420, 560)).astype(np.float32), (0, 0), _BLOTCH)
    wander = wander / wander.std() * np.float32(size)
    pixels[..., 1] += wander
    pixels[..., 2] -= wander
    return scene, as_photo(np.clip(pixels.round(), 0, 255).astype(np.uint8), srgb())


def test_a_known_covariance_is_found() -> None:
    rng = np.random.default_rng(0)
    truth = np.array([[4.0, 1.0, 0.0], [1.0, 3.0, -1.5], [0.0, -1.5, 5.0]])
    where = rng.uniform(0, 40, (4000, 2))
    # Light that slopes across a card is no noise.
    values = rng.multivariate_normal(np.full(3, 90.0), truth, 4000) + where @ np.array([[0.5] * 3, [-0.2] * 3])
    np.testing.assert_allclose(values_covariance(np.column_stack([values, where])), truth, atol=0.3)


def test_blotches_are_seen_on_the_cards() -> None:
    """Green against blue: negative covariance of the size that was put there, where the filter leaves most of it."""
    scene, photo = blotchy(4.0)
    left = noise_left(photo, scene.cards, calibrate(photo, scene.cards, "photo").noise)
    assert -16 * 1.2 < left[1, 2] < -16 * 0.4
    clean_scene, clean = blotchy(0.0)
    assert abs(noise_left(clean, clean_scene.cards, 0.006)[1, 2]) < 0.5


def test_blotches_are_no_second_colour() -> None:
    scene, photo = blotchy(4.0)
    calibration = calibrate(photo, scene.cards, "photo")
    wall = OutlinedSurface(name="wall", material="paint", outline=corners((4, 4, 556, 416)))
    reading = read_in(scene, photo, calibration, wall)
    assert len(reading.colours) == 1
    # A card a dozen blotches large is itself off by a third of a blotch, which is dE00 2 here.
    assert float(delta_e_2000(reading.colours[0].lab, np.array(_WALL))) < 3
