"""The lightest plain part of pictures that are drawn with one: where it lies, and what is none."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import ArrayLike, NDArray

from matcher.calibration.plain_white import plain_white
from matcher.colorimetry.spaces import Floats

LIGHT = np.array([0.9, 0.7, 0.35])
HEIGHT, WIDTH = 90, 120
LEFT, RIGHT, SMALL = np.s_[10:60, 5:50], np.s_[20:70, 65:110], np.s_[2:8, 60:66]  # in the order of their first rows
WHITE, PALE = 0.8, 0.6
_BLURRED = 4  # pixels: as far as OpenCV's blur of one pixel reaches

Part = tuple[slice, slice]


def picture(*parts: tuple[Part, ArrayLike]) -> Floats:
    """Linear RGB (H, W, 3): pebbles of all colours, as light as the parts, and on them parts of one reflectance."""
    linear = np.random.default_rng(1).uniform(0.1, 0.8, (HEIGHT, WIDTH, 3))
    for where, reflectance in parts:
        linear[where] = reflectance
    return np.asarray(linear * LIGHT)


def found(linear: Floats, usable: NDArray[np.bool_] | None = None) -> NDArray[np.bool_] | None:
    return plain_white(linear.astype(np.float32), np.ones((HEIGHT, WIDTH), bool) if usable is None else usable, LIGHT)


def is_part(mask: NDArray[np.bool_] | None, part: Part) -> bool:
    """Whether all of a part but its blurred rim is found, and nothing else."""
    if mask is None:
        return False
    whole, inner = np.zeros((2, HEIGHT, WIDTH), bool)
    whole[part] = True
    rows, columns = part
    rim = _BLURRED
    inner[rows.start + rim : rows.stop - rim, columns.start + rim : columns.stop - rim] = True
    return bool((mask <= whole).all() and (inner <= mask).all())


def waves(*steps: float) -> Floats:
    """Reflectances (50, 3) that rise and fall in triangles of 14 pixels, by ``steps`` (natural log) a pixel."""
    triangle = np.abs(np.arange(50) % 14 - 7.0)
    return np.asarray(0.75 * np.exp(-(triangle[:, None] * steps)))


@pytest.mark.parametrize(("first", "second"), [(LEFT, RIGHT), (RIGHT, LEFT)])
def test_of_two_plain_parts_the_lighter_is_found(first: Part, second: Part) -> None:
    assert is_part(found(picture((first, WHITE), (second, PALE))), first)
    assert is_part(found(picture((first, WHITE))), first)
    assert found(picture()) is None


def test_grain_is_no_texture() -> None:
    """Two per cent a channel and pixel, which neighbours on all sides average out."""
    grain = np.exp(np.random.default_rng(3).normal(0, 0.02, (50, 45, 3)))
    mask = found(picture((LEFT, WHITE * grain)))
    assert mask is not None
    assert mask[LEFT][_BLURRED:-_BLURRED, _BLURRED:-_BLURRED].mean() > 0.97


def test_parts_that_meet_at_a_corner_alone_are_two() -> None:
    """What is one plain thing lies side by side: of two halves of a wall that grows lighter the lighter one."""
    linear = np.broadcast_to(0.6 * np.exp(0.002 * np.arange(WIDTH))[:, None] * LIGHT, (HEIGHT, WIDTH, 3))
    usable = np.zeros((HEIGHT, WIDTH), bool)
    usable[:45, :60] = usable[45:, 60:] = True
    mask = found(linear, usable)
    assert mask is not None
    assert not mask[:45].any()
    assert mask[45:, 60:].all()


def test_a_small_part_is_passed_over_however_light() -> None:
    """A hundredth of the picture, here 108 pixels, is the least."""
    assert is_part(found(picture((SMALL, 1.0), (LEFT, WHITE))), LEFT)


def test_what_is_burnt_out_is_no_white() -> None:
    usable = np.ones((HEIGHT, WIDTH), bool)
    usable[LEFT] = False
    assert is_part(found(picture((LEFT, 1.0), (RIGHT, PALE)), usable), RIGHT)


@pytest.mark.parametrize("channel", [0, 1, 2])
@pytest.mark.parametrize("factor", [0.8, 1.25])
def test_a_coloured_part_is_no_white_whatever_the_light(channel: int, factor: float) -> None:
    tint = np.ones(3)
    tint[channel] = factor
    assert is_part(found(picture((LEFT, WHITE * tint), (RIGHT, PALE))), RIGHT)
    tint[channel] = 1 + (factor - 1) / 4  # creams and cool whites are white
    assert is_part(found(picture((LEFT, WHITE * tint), (RIGHT, PALE))), LEFT)


def test_a_part_less_than_half_as_light_as_the_light_ones_is_no_white() -> None:
    """The pebbles' tenth lightest green, 0.73 of white, is what is light here."""
    assert found(picture((LEFT, 0.33))) is None
    assert is_part(found(picture((LEFT, 0.42))), LEFT)


@pytest.mark.parametrize(
    ("steps", "plain"),
    [
        ((0.04, 0.04, 0.04), True),  # light falls off softly
        ((0.07, 0.07, 0.07), False),  # folds
        ((0.06, 0.06, 0.038), False),
        ((0.04, 0.0, 0.0), False),  # a seam of another colour
        ((0.0, 0.0, 0.04), False),
        ((0.04, 0.0, 0.04), False),
    ],
)
@pytest.mark.parametrize("upright", [False, True])
def test_soft_shade_is_plain_and_changing_colour_is_not(
    steps: tuple[float, float, float], plain: bool, upright: bool
) -> None:
    drawn = waves(*steps)
    mask = found(picture((RIGHT, drawn[:, None] if upright else drawn[None, :45])))
    share = 0.0 if mask is None else float(mask[RIGHT].mean())
    assert (share > 0.6) is plain
