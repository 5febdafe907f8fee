"""Which colours no lamp can give to a card: sources of light that exist, and cards that share theirs."""

from __future__ import annotations

import numpy as np
import pytest
from coloraide import Color
from numpy.typing import ArrayLike

from matcher.calibration.neutrality import coloured
from matcher.calibration.patch import LEVELS
from tests.calibration.made_patch import made

TABLE = np.arange(LEVELS) / (LEVELS - 1)  # file values that are light


def refused(*lights: ArrayLike) -> list[str]:
    patches = [made(np.round(255 * np.asarray(light, dtype=float))) for light in lights]
    return [problem.where for problem in coloured(patches, TABLE, [f"card {index}" for index in range(len(lights))])]


def of_kelvin(kelvin: float, balanced: float) -> np.ndarray:
    """Linear sRGB of a black body beside one that the camera takes for white (coloraide, CIE 1960 locus)."""
    lamp, white = (
        np.array(Color.blackbody("srgb-linear", each, out_space="srgb-linear").coords()) for each in (kelvin, balanced)
    )
    found = np.clip(lamp / white, 0, None)
    return np.asarray(0.9 * found / found.max())


@pytest.mark.parametrize(("kelvin", "balanced"), [(2700, 6500), (2700, 5000), (10000, 5000)])
def test_black_bodies_in_pictures_balanced_for_others_are_light(kelvin: float, balanced: float) -> None:
    assert refused(of_kelvin(kelvin, balanced)) == []


@pytest.mark.parametrize(
    "colour",
    [
        (0.3, 0.6, 0.3),  # leaves: green twice the larger of the others
        (0.3, 0.6, 0.37),
        (0.37, 0.6, 0.3),
        (0.6, 0.3, 0.55),  # magenta: green half of the lesser
        (0.55, 0.3, 0.6),
        (0.12, 0.4, 0.7),  # bluer than any sky: six times as much blue as red
        (0.9, 0.05, 0.02),  # redder than a candle
    ],
)
def test_what_no_lamp_makes_is_refused(colour: tuple[float, float, float]) -> None:
    assert refused(colour) == ["card 0"]


@pytest.mark.parametrize(
    "colour", [(0.4, 0.6, 0.4), (0.6, 0.4, 0.6), (0.15, 0.45, 0.7), (0.5, 0.5, 0.5), (0.05, 0.05, 0.05)]
)
def test_a_weaker_shift_is_light(colour: tuple[float, float, float]) -> None:
    """Fluorescent lamps lie off the locus by up to half as much green again; a blue sky has four times blue to red."""
    assert refused(colour) == []


@pytest.mark.parametrize("channel", [0, 2])
def test_one_of_three_cards_far_from_the_others_is_refused_alone(channel: int) -> None:
    odd = np.full(3, 0.2)
    odd[channel] = 0.2 * np.exp(-1.1)
    alike = np.full(3, 0.5)
    assert refused(alike, odd, alike) == ["card 1"]
    # Of two nobody can say which, and all may be shifted together.
    assert refused(alike, odd) == []
    assert refused(odd, odd, odd) == []


def test_cards_of_other_reflectance_share_a_light_and_of_two_that_do_not_none_is_to_blame() -> None:
    lamp = np.array([0.9, 0.6, 0.3])
    assert refused(lamp, 0.2 * lamp, 0.05 * lamp) == []
    without_blue = np.array([0.4, 0.4, 0.4 * np.exp(-2.0)])
    assert refused(np.full(3, 0.4), without_blue) == []
    assert refused(np.full(3, 0.4), without_blue, np.full(3, 0.4)) == ["card 1"]


def test_cards_alike_under_a_strong_lamp_share_it() -> None:
    """Red lies as far above green as blue lies below it: each is compared with its own middle."""
    assert refused(*[np.array([0.9, 0.6, 0.12])] * 3) == []


def test_the_angle_told_is_that_from_grey() -> None:
    """acos(e . w / |e| |w|): red alone lies 54.7 degrees from grey, the magic angle acos(1 / sqrt 3)."""
    (problem,) = coloured([made((255, 0, 0))], TABLE, ["card"])
    assert "55°" in problem.what
    assert (problem.where, "Correct the outline" in problem.remedy) == ("card", True)
