"""An outline that lies on something coloured is told from a card under an odd light by the rest of the picture."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from matcher.calibration.light import cone_matrix
from matcher.calibration.no_card import COLOUR_SD, picture_light
from matcher.calibration.odd_card import odd_cards
from matcher.calibration.photo_calibration import calibrate
from matcher.colorimetry.spaces import Floats
from matcher.room.contents import Reference
from tests.calibration.scenes import GREY, Scene, corners

BOX = (180, 130, 240, 190)
BALANCED = np.ones(3)
# Cone gains of a lamp in a picture balanced for daylight: illuminant A over D65, by hand from their white points.
LAMP = np.array([1.22, 1.0, 0.32])
OAK, BRICK, TEAL = (55.0, 16.0, 34.0), (45.0, 30.0, 26.0), (45.0, -28.0, -14.0)


def odd(scene: Scene, reference: Reference) -> list[str]:
    photo = scene.shoot()
    calibration = calibrate(photo, [reference], "photo.jpg")
    found = odd_cards(photo, calibration)
    # How odd, in sigmas, is told with it: none is named that the doubt of a guessed light could explain.
    assert all(dict(finding.values)["sigmas"] >= 5 and finding.level == "warn" for finding in found)
    return [f"{finding.check} {finding.subject}" for finding in found]


def room(light: Floats, seed: int = 3) -> Scene:
    """Patches of the muted colours that rooms have."""
    scene = Scene(300, 400, level=0.6)
    scene.light *= light
    rng = np.random.default_rng(seed)
    for _ in range(60):
        x, y, across, down = rng.integers((0, 0, 30, 30), (360, 260, 120, 100)).tolist()
        scene.paint((x, y, x + across, y + down), (rng.uniform(25, 88), rng.normal(1, 4), rng.normal(6, 9)))
    return scene


@pytest.mark.parametrize("colour", [OAK, BRICK])
def test_an_outline_on_something_coloured_is_odd(colour: tuple[float, float, float]) -> None:
    scene = room(BALANCED)
    scene.paint(BOX, colour)
    there = Reference(kind="grey card", reflectance=0.18, outline=corners(BOX), on="floor")
    assert odd(scene, there) == ["card odd floor"]


@pytest.mark.parametrize("light", [BALANCED, LAMP])
@pytest.mark.parametrize("seed", range(4))
def test_a_grey_card_is_not_whatever_the_light(light: Floats, seed: int) -> None:
    scene = room(light, seed)
    assert odd(scene, scene.lay(GREY, BOX)) == []


@pytest.mark.parametrize("colour", [OAK, BRICK, TEAL])
def test_a_grey_card_on_one_strong_colour_is_not(colour: tuple[float, float, float]) -> None:
    """A close-up of brick leans as brick does, and its card is right all the same."""
    scene = Scene(300, 400, level=0.6)
    scene.paint((0, 0, 400, 300), colour)
    assert odd(scene, scene.lay(GREY, BOX)) == []


@pytest.mark.parametrize(("first", "third"), [(6.0, 0.0), (0.0, -7.0), (3.0, 4.5), (-5.0, 12.0)])
def test_oddness_is_counted_in_the_doubt_of_a_guess(first: float, third: float) -> None:
    """So many sigmas of the first and of the third cone against the second: their length, whatever the level."""
    scene = room(BALANCED)
    card = scene.lay(GREY, BOX)
    photo = scene.shoot()
    calibration = calibrate(photo, [card], "photo.jpg")
    seen = picture_light(photo, calibration.table)
    assert seen is not None
    white = np.log(cone_matrix(photo.colour_space).sum(axis=1))
    away = np.array([first, 0.0, third]) * [COLOUR_SD[0], 0, COLOUR_SD[1]] + 0.8
    # Where the picture leans itself, a card has to be far from white as well.
    assert np.hypot(*(((seen - white)[[0, 2]] - (seen - white)[1]) / COLOUR_SD)) < 0.9
    cards = [replace(calibration.lights[0], cones=cones) for cones in (seen + away, seen + away / 4)]
    (found,) = odd_cards(photo, replace(calibration, lights=tuple(cards)))
    assert dict(found.values)["sigmas"] == pytest.approx(np.hypot(first, third), abs=0.051)
    assert found.subject == "card"  # it lies on nothing that has a name
