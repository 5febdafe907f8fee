"""What stands below the only card of a photo: how much less light is expected there, and whether the doubt holds."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from matcher.calibration.light import Light
from matcher.calibration.photo_calibration import calibrate
from matcher.colorimetry.lrv import lrv
from matcher.report.doubt import NINETY_PERCENT, lrv_sd
from matcher.room.contents import Material, OutlinedSurface
from matcher.surfaces.reading import SurfaceReading
from matcher.surfaces.upright_front import light_fall
from tests.calibration.scenes import GREY, Scene, corners
from tests.surfaces.scene_reading import read_in

WORKTOP = OutlinedSurface(name="worktop", material="stone", outline=corners((4, 4, 396, 120)))
FRONT_LAB = (82.0, 1.0, 8.0)  # LRV 60


def surface(name: str, material: Material, top: int, bottom: int) -> OutlinedSurface:
    return OutlinedSurface(name=name, material=material, outline=corners((4, top, 396, bottom)))


def card_at(height: float, on: str | None) -> Light:
    return Light(np.array([200.0, height]), 40.0, 1.0, np.zeros(3), on, np.zeros((5, 3)))


FRONT = surface("cabinets", "paint", 140, 296)


def test_a_front_below_the_card_gets_less_and_by_a_lamp_still_less() -> None:
    by_day, by_lamp = (light_fall(FRONT, [WORKTOP, FRONT], [card_at(60, "worktop")], lamp=lamp) for lamp in (0.0, 1.0))
    # Half of the worktop's light, ln 2, lies between: common practice under a pendant or ceiling lamp, no source.
    assert 0 < by_day < float(np.log(2)) < by_lamp + 0.1


def test_what_lies_above_a_card_on_a_front_gets_more() -> None:
    below, above = card_at(60, "worktop"), card_at(200, "cabinets")
    for lamp in (0.0, 0.6):
        down = light_fall(FRONT, [WORKTOP, FRONT], [below], lamp=lamp)
        assert -down <= light_fall(WORKTOP, [WORKTOP, FRONT], [above], lamp=lamp) < 0


@pytest.mark.parametrize(
    ("read", "lights"),
    [
        (surface("floor", "timber", 200, 296), [card_at(60, "worktop")]),
        (surface("wall", "paint", 4, 50), [card_at(60, "worktop")]),
        (surface("tall cupboard", "paint", 20, 296), [card_at(60, "worktop")]),
        (FRONT, [card_at(200, "cabinets")]),
        (FRONT, [card_at(60, "worktop"), card_at(20, "wall")]),
        (FRONT, [replace(card_at(60, None), guess_sd=np.full(3, 0.1))]),
    ],
    ids=["floor", "above", "reaches above", "own card", "several cards", "guess"],
)
def test_elsewhere_nothing_is_expected(read: OutlinedSurface, lights: list[Light]) -> None:
    assert light_fall(read, [WORKTOP, FRONT, read], lights, lamp=1.0) == 0.0


def read_front(share: float, *, warm: bool) -> tuple[SurfaceReading, float]:
    """Return a front that gets ``share`` of the light on the worktop above, read by the worktop's card, and its LRV."""
    scene = Scene(300, 400)
    # A lamp's colour of which the camera took half out, as cone gains.
    scene.light *= np.array([1.2, 1.0, 0.5]) if warm else np.ones(3)
    scene.light[130:] *= share
    scene.paint((0, 0, 400, 130), (60.0, 1.0, 5.0))
    scene.paint((0, 130, 400, 300), FRONT_LAB)
    scene.lay(GREY, (170, 40, 220, 90), on="worktop")
    photo = scene.shoot()
    calibration = calibrate(photo, scene.cards, "photo")
    fall = light_fall(FRONT, [WORKTOP, FRONT], calibration.lights, lamp=calibration.lamp)
    return read_in(scene, photo, calibration, FRONT, fall=fall), float(lrv(np.array(FRONT_LAB)))


@pytest.mark.parametrize(("share", "warm"), [(1.0, False), (0.7, False), (1.0, True), (0.5, True), (0.35, True)])
def test_the_interval_holds_a_front_in_the_shade_of_its_worktop(share: float, warm: bool) -> None:
    """The truth is what was drawn; shares are those that rendered kitchens have by daylight and by lamps."""
    reading, true = read_front(share, warm=warm)
    main = reading.colours[0]
    assert abs(float(lrv(main.lab)) - true) <= NINETY_PERCENT * lrv_sd(main.lab, main.covariance)
