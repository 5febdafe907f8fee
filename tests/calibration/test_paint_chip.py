"""A chip is a known colour: what it reflects by coloraide, and what is said where it cannot serve."""

from __future__ import annotations

import numpy as np
import pytest
from coloraide import Color

from matcher.calibration.paint_chip import read_chip
from matcher.errors import CardError
from matcher.photo.colour_space import srgb
from matcher.room.contents import Reference
from tests.calibration.scenes import Scene, corners

BOX = (40, 40, 100, 90)
LAB = (62.0, 9.0, 21.0)
CHIP = Reference(kind="paint chip", paint="A1", outline=corners(BOX))


def shot() -> Scene:
    scene = Scene(140, 160)
    scene.paint(BOX, LAB)
    return scene


def test_what_a_chip_reflects_is_its_colour_s_luminance_and_linear_rgb() -> None:
    chip = read_chip(shot().shoot(), CHIP, {"A1": np.array(LAB)}, "chip")
    colour = Color("lab-d65", LAB)
    assert chip.patch.reflectance == pytest.approx(colour.luminance(), rel=1e-3)
    assert chip.patch.tint is not None
    np.testing.assert_allclose(chip.patch.tint, colour.convert("srgb-linear").coords(), atol=1e-3)
    np.testing.assert_allclose(srgb().to_xyz[1] @ chip.patch.tint, chip.patch.reflectance, rtol=1e-6)
    assert (chip.code, chip.lab.tolist()) == ("A1", list(LAB))
    # A chip stands for a card only roughly: its doubt is that of an unknown camera, some per cent (assumption).
    assert 0.02 < chip.patch.level_sd < 0.08
    assert 0.02 < chip.patch.colour_sd < 0.08


def test_a_chip_that_the_deck_does_not_know_is_refused() -> None:
    with pytest.raises(CardError, match="no paint 'A1'") as caught:
        read_chip(shot().shoot(), CHIP, {"A2": np.array(LAB)}, "chip")
    (problem,) = caught.value.problems
    assert (problem.where, "from the deck" in problem.remedy) == ("chip", True)


def test_an_outline_that_is_no_even_chip_is_refused_by_its_name() -> None:
    scene = shot()
    scene.light[:, 70:] *= 0.3
    with pytest.raises(CardError, match="not even") as caught:
        read_chip(scene.shoot(), CHIP, {"A1": np.array(LAB)}, "chip")
    assert [problem.where for problem in caught.value.problems] == ["chip"]


def test_a_burnt_out_chip_is_refused_with_how_much_of_it_is() -> None:
    for burnt, share in ((np.s_[:], "100"), (np.s_[:, :70], "(49|50)")):
        scene = shot()
        scene.light[burnt] *= 6
        with pytest.raises(CardError, match=f"{share} % of it is clipped") as caught:
            read_chip(scene.shoot(noise=0), CHIP, {"A1": np.array(LAB)}, "chip")
        (problem,) = caught.value.problems
        assert (problem.where, "darker" in problem.remedy) == ("chip", True)
