"""Steps of a scale read one by one: which reflectance each gets, and what is refused. Truth: the scene's own steps."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest

from matcher.calibration.grey_scale import read_grey_scale
from matcher.calibration.strip import Outline
from matcher.errors import CardError, Problem
from matcher.room.contents import Reference
from tests.calibration.scenes import Scene, corners

STEP = 40
PLACE = "scale"


def strip(reflectances: Sequence[float], *, spoilt: Sequence[int] = (), across: float = 0.0) -> Scene:
    """Steps side by side from left to right; a spoilt one is half in shadow."""
    scene = Scene(80, 20 + STEP * len(reflectances))
    for index, reflectance in enumerate(reflectances):
        left = 10 + STEP * index
        scene.lay(("grey card", reflectance), (left, 20, left + STEP, 60))
        if index in spoilt:
            scene.light[:40, left : left + STEP] *= 0.3
    scene.fall_off(across)
    return scene


def read(scene: Scene, given: Sequence[float], outline: Outline | None = None) -> list[tuple[float, int]]:
    """Return the reflectance that each patch read has got, and at which step it lies."""
    outline = outline or corners((10, 20, 10 + STEP * len(given), 60))
    scale = Reference(kind="grey scale", outline=outline, reflectances=tuple(given))
    patches = read_grey_scale(scene.shoot(noise=0.003), scale, PLACE)
    return [(p.reflectance, int((p.centre[0] - 10) // STEP)) for p in patches]


@pytest.mark.parametrize("given", [(0.9, 0.4, 0.1), (0.1, 0.4, 0.9)])
def test_each_step_gets_its_own_reflectance_from_whichever_end_they_are_given(given: tuple[float, ...]) -> None:
    assert read(strip((0.9, 0.4, 0.1)), given) == [(0.9, 0), (0.4, 1), (0.1, 2)]


@pytest.mark.parametrize("given", [(0.9, 0.4, 0.1), (0.1, 0.4, 0.9)])
@pytest.mark.parametrize("spoilt", range(3))
def test_a_step_in_shadow_is_left_out_and_the_others_keep_theirs(given: tuple[float, ...], spoilt: int) -> None:
    found = read(strip((0.9, 0.4, 0.1), spoilt=(spoilt,)), given)
    assert found == [pair for pair in [(0.9, 0), (0.4, 1), (0.1, 2)] if pair[1] != spoilt]


def test_a_step_is_a_card_that_lies_where_the_scale_does() -> None:
    scale = Reference(kind="grey scale", outline=corners((10, 20, 90, 60)), reflectances=(0.9, 0.4), on="worktop")
    patches = read_grey_scale(strip((0.9, 0.4)).shoot(noise=0.003), scale, PLACE)
    assert [(p.kind, p.on) for p in patches] == [("grey scale", "worktop")] * 2


def refused(scene: Scene, given: Sequence[float], outline: Outline | None = None) -> Problem:
    with pytest.raises(CardError) as caught:
        read(scene, given, outline)
    (problem,) = caught.value.problems
    assert problem.where == PLACE
    return problem


def test_one_step_alone_is_no_scale() -> None:
    problem = refused(strip((0.9, 0.4), spoilt=(1,)), (0.9, 0.4))
    assert problem.what.startswith("its 2 steps are not found")
    assert "not even" in problem.what
    assert "one reflectance for each step" in problem.remedy


def test_one_pair_in_the_wrong_order_is_refused() -> None:
    problem = refused(strip((0.9, 0.6, 0.35)), (0.9, 0.35, 0.6))
    assert "in the order of its reflectances" in problem.what
    assert "in the order of the steps" in problem.remedy


def test_an_outline_that_is_no_strip_s_is_refused() -> None:
    """Three corners cannot be those of a rectangle in perspective, nor can a corner that is bent inwards."""
    for fault, outline in (
        ("3 points", ((10, 20), (130, 20), (130, 60))),
        ("bent inwards", ((10, 20), (130, 20), (130, 60), (100, 30))),
    ):
        problem = refused(strip((0.9, 0.4, 0.1)), (0.9, 0.4, 0.1), outline)
        assert fault in problem.what
        assert "four corners" in problem.remedy


def test_steps_too_alike_to_tell_keep_the_order_given() -> None:
    """Encoded, 0.18 and 0.185 in this light lie two steps of 255 apart (IEC 61966-2-1): noise or a slope do as much.
    0.18 and 0.23 lie 12 apart, which they do not.
    """
    assert read(strip((0.185, 0.18)), (0.18, 0.185)) == [(0.18, 0), (0.185, 1)]
    assert read(strip((0.23, 0.18)), (0.18, 0.23)) == [(0.23, 0), (0.18, 1)]


def test_steps_of_one_reflectance_may_lie_in_falling_light() -> None:
    found = read(strip((0.9, 0.4, 0.4, 0.4), across=0.6), (0.9, 0.4, 0.4, 0.4))
    assert np.allclose([reflectance for reflectance, _ in found], [0.9, 0.4, 0.4, 0.4])
