"""Grey scales, paper, and references that contradict each other or the room file."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
import pytest
from coloraide import Color

from matcher.calibration.photo_calibration import PhotoCalibration, calibrate
from matcher.calibration.references import read_reference
from matcher.colorimetry.spaces import Floats
from matcher.errors import CardError
from matcher.photo.colour_space import srgb
from matcher.room.contents import PAPER_REFLECTANCE, Reference
from tests.calibration.scenes import BLACK, GREY, WHITE, Box, Scene, corners, smoothstep_s

STEPS = (0.9, 0.6, 0.4, 0.25, 0.15, 0.08, 0.04)
STRIP: Box = (100, 100, 660, 180)


def scale_scene(reflectances: Sequence[float], *, down: bool = False) -> Scene:
    """A strip of even steps from left to right (or down)."""
    scene = Scene(700, 700)
    size = 560 / len(reflectances)
    for i, reflectance in enumerate(reflectances):
        low, high = round(100 + i * size), round(100 + (i + 1) * size)
        box = (100, low, 180, high) if down else (low, 100, high, 180)
        scene.lay(("grey card", reflectance), box)
    scene.cards.clear()
    return scene


def read(scene: Scene, *references: Reference, curve: Callable[[Floats], Floats] | None = None) -> PhotoCalibration:
    photo = scene.shoot(curve=curve) if curve else scene.shoot()
    return calibrate(photo, references or scene.cards, "photo.jpg")


def scale(box: Box = STRIP, reflectances: Sequence[float] | None = STEPS, **others: float) -> Reference:
    given = None if reflectances is None else tuple(reflectances)
    return Reference(kind="grey scale", outline=corners(box), reflectances=given, **others)  # type: ignore[arg-type]


def refusal(scene: Scene, *references: Reference) -> str:
    with pytest.raises(CardError) as caught:
        read(scene, *references)
    return str(caught.value)


@pytest.mark.parametrize("strength", [0.0, 0.3])
def test_a_grey_scale_gives_the_tone_curve_as_single_cards_do(strength: float) -> None:
    """The curve is 3 u^2 - 2 u^3 blended in; levels are compared where walls lie, against the scene's own."""
    calibration = read(scale_scene(STEPS), scale(), curve=smoothstep_s(strength))
    assert calibration.curve.evidence == 6
    linear = np.array([0.1, 0.25, 0.5]) * 0.75
    from matcher.colorimetry.spaces import srgb_encode

    encoded = smoothstep_s(strength)(srgb_encode(linear))
    read_linear = np.interp(encoded, np.linspace(0, 1, 256), calibration.table)
    np.testing.assert_allclose(read_linear / read_linear[1], linear / linear[1], rtol=0.03)


def test_it_may_run_either_way_and_stand_upright() -> None:
    forward = read(scale_scene(STEPS), scale())
    backward = read(scale_scene(STEPS), scale(reflectances=STEPS[::-1]))
    np.testing.assert_array_equal(forward.table, backward.table)
    upright = read(scale_scene(STEPS, down=True), scale((100, 100, 180, 660)))
    np.testing.assert_allclose(upright.table, forward.table, atol=0.01)
    np.testing.assert_allclose(upright.lights[0].cones, forward.lights[0].cones, atol=0.02)


def test_steps_in_the_wrong_order_are_refused() -> None:
    shuffled = (0.9, 0.15, 0.4, 0.6, 0.25, 0.08, 0.04)
    message = refusal(scale_scene(STEPS), scale(reflectances=shuffled))
    assert "in the order of its reflectances" in message


def test_a_scale_without_reflectances_asks_for_them() -> None:
    message = refusal(scale_scene(STEPS), scale(reflectances=None, reflectance=0.18))
    assert "reflectances = [0.9" in message


def test_two_steps_in_one_outline_are_no_step() -> None:
    message = refusal(scale_scene((0.9, 0.1)), scale(reflectances=None, reflectance=0.9))
    assert "as one step it cannot be read: the patch is not even" in message


def test_one_step_of_a_scale_with_its_reflectance_is_one_patch() -> None:
    scene = scale_scene(STEPS)
    step: Box = (110, 108, 172, 172)
    one = read(scene, scale(step, None, reflectance=0.9))
    card = read(scene, Reference(kind="white card", reflectance=0.9, outline=corners(step)))
    np.testing.assert_array_equal(one.lights[0].cones, card.lights[0].cones)


def test_too_many_reflectances_or_something_else_is_refused() -> None:
    rng = np.random.default_rng(0)
    scene = Scene(700, 700, level=0.3)
    scene.xyz[:] *= np.exp(rng.normal(0, 0.8, (70, 70, 1))).repeat(10, axis=0).repeat(10, axis=1)
    message = refusal(scene, scale())
    assert "steps" in message


def paper_scene(tint: Sequence[float] = (1.0, 1.0, 1.0)) -> Scene:
    scene = Scene(400, 600)
    scene.lay(GREY, (60, 60, 160, 160), on="worktop")
    scene.lay(("white card", PAPER_REFLECTANCE), (170, 60, 270, 160), on="worktop")
    scene.xyz[60:160, 170:270] *= tint
    scene.cards[1] = Reference(kind="white paper", outline=scene.cards[1].outline, on="worktop")
    return scene


def test_paper_beside_a_grey_card_tells_the_curve_and_leaves_the_balance_to_the_card() -> None:
    bluish = paper_scene((0.99, 1.0, 1.12))
    both, card = read(bluish), read(bluish, bluish.cards[0])
    assert both.curve.evidence == 1
    np.testing.assert_array_equal(both.lights[0].position, card.lights[0].position)
    ratio = both.lights[0].cones - card.lights[0].cones
    assert np.ptp(ratio) < 0.01  # its tint changes no colour
    assert both.lights[0].card_sd[1] < 0.03  # half of what paper alone leaves open: its tint fits no curve


def test_paper_alone_is_a_poor_mans_white_with_its_doubt() -> None:
    scene = paper_scene()
    alone = read(scene, scene.cards[1]).lights[0]
    card = read(scene, scene.cards[0]).lights[0]
    level_sd, colour_sd = alone.card_sd
    assert level_sd >= 0.05
    assert colour_sd >= 0.05
    assert np.abs(alone.cones - card.cones).max() < 2 * colour_sd


def test_its_own_reflectance_goes_before_the_usual_one() -> None:
    scene = paper_scene()
    brighter = Reference(kind="white paper", reflectance=0.9, outline=scene.cards[1].outline)
    shift = read(scene, brighter).lights[0].cones - read(scene, scene.cards[1]).lights[0].cones
    np.testing.assert_allclose(shift, np.log(PAPER_REFLECTANCE / 0.9), atol=0.02)


def test_white_and_black_swapped_are_refused_once_a_pair() -> None:
    scene = Scene(400, 600)
    scene.lay_three(60, 60, 80, on="floor")
    white, grey, black = scene.cards
    swapped = [
        Reference(kind="white card", reflectance=0.86, outline=black.outline, on="floor"),
        grey,
        Reference(kind="black card", reflectance=0.04, outline=white.outline, on="floor"),
    ]
    message = refusal(scene, *swapped)
    assert "darker in the photo" in message
    assert "Give each outline its own card" in message
    assert calibrate(scene.shoot(), [white, grey, black], "photo.jpg").findings


def test_cards_of_one_reflectance_that_disagree_are_said() -> None:
    scene = Scene(400, 600)
    scene.lay(GREY, (60, 60, 140, 140), on="floor")
    scene.lay(("grey card", 0.13), (150, 60, 230, 140), on="floor")
    second = Reference(kind="grey card", reflectance=0.18, outline=scene.cards[1].outline, on="floor")
    found = {f.check: f for f in read(scene, scene.cards[0], second).findings}
    assert found["cards contradict"].level == "warn"
    assert dict(found["cards contradict"].values)["share"] == pytest.approx(0.18 / 0.13 - 1, abs=0.06)
    assert found["cards contradict"].subject == "floor"


@pytest.mark.parametrize(("tint", "said"), [((1.0, 1.0, 1.0), False), ((0.95, 1.0, 1.3), True)])
def test_a_grey_card_that_is_not_grey_is_said(tint: tuple[float, float, float], said: bool) -> None:
    scene = Scene(400, 600)
    scene.lay_three(60, 60, 80, on="floor")
    scene.xyz[60:140, 140:220] *= tint
    assert ("card not grey" in {f.check for f in read(scene).findings}) is said


def test_cards_of_different_places_may_differ() -> None:
    scene = Scene(400, 600)
    scene.fall_off(1.5)
    scene.lay(GREY, (40, 60, 100, 120), on="floor")
    scene.lay(GREY, (500, 60, 560, 120), on="worktop")
    assert not {"cards contradict", "card not grey"} & {f.check for f in read(scene).findings}


def test_a_clipped_white_is_used_for_nothing_and_said() -> None:
    scene = Scene(400, 600, level=1.4)
    scene.lay_three(60, 60, 80, on="floor")
    found = read(scene)
    assert "clipped patch" in {f.check for f in found.findings}
    without = read(scene, *scene.cards[1:])
    np.testing.assert_array_equal(found.table, without.table)
    np.testing.assert_array_equal(found.lights[0].cones, without.lights[0].cones)


def test_a_shadows_edge_on_a_card_is_refused() -> None:
    scene = Scene(400, 600)
    scene.lay(GREY, (60, 60, 160, 160))
    scene.light[:, 105:] *= 0.5
    assert "shadow" in refusal(scene)


def test_whites_and_blacks_are_what_the_scenes_say() -> None:
    """Guards the scenes above: the three cards' reflectances, and the picture's space."""
    assert (WHITE[1], GREY[1], BLACK[1]) == (0.86, 0.18, 0.04)
    np.testing.assert_allclose(srgb().to_xyz.sum(axis=1)[1], 1.0, atol=1e-9)


def test_paper_reflects_its_luminance_with_the_tint_of_its_brighteners() -> None:
    """Lab 93, 1, -4 (assumed of office paper), at the luminance stated: colours by coloraide."""
    scene = paper_scene()
    for stated in (0.75, 0.9):
        paper = Reference(kind="white paper", reflectance=stated, outline=scene.cards[1].outline)
        (patch,) = read_reference(scene.shoot(), paper, "paper").patches
        assert patch.tint is not None
        colour = np.array(Color("lab-d65", (93.0, 1.0, -4.0)).convert("srgb-linear").coords())
        np.testing.assert_allclose(patch.tint / patch.tint[1], colour / colour[1], rtol=2e-3)
        assert srgb().to_xyz[1] @ patch.tint == pytest.approx(stated)


@pytest.mark.parametrize("box", [(60, 60, 260, 100), (60, 60, 100, 260)])
@pytest.mark.parametrize(("fall", "one"), [(0.35, True), (0.65, False)])
@pytest.mark.parametrize("along", [True, False])
def test_a_step_in_sloping_light_is_one_and_several_steps_are_not(
    box: Box, fall: float, one: bool, along: bool
) -> None:
    """By up to half of the logarithm over its length or width one light may change; two thirds of it are two steps."""
    scene = Scene(400, 400)
    scene.lay(("grey card", 0.5), box)
    over_the_picture = fall * 400 / (200 if along else 40)
    scene.fall_off(*((over_the_picture, 0.0) if (box[2] > box[3]) is along else (0.0, over_the_picture)))
    step = scale(box, None, reflectance=0.5)
    if one:
        (patch,) = read_reference(scene.shoot(), step, "step").patches
        assert patch.reflectance == 0.5
    else:
        with pytest.raises(CardError, match="grows lighter from one end"):
            read_reference(scene.shoot(), step, "step")


def test_a_reference_refused_is_named_with_what_to_do() -> None:
    photo = scale_scene(STEPS).shoot()
    shuffled = scale(reflectances=(0.9, 0.15, 0.4, 0.6, 0.25, 0.08, 0.04))
    unknown = scale(reflectances=None, reflectance=0.9)
    triangle = Reference(kind="chart 24", outline=corners(STRIP)[:3])
    for kind, remedy in ((shuffled, ""), (unknown, "Give reflectances"), (triangle, "")):
        with pytest.raises(CardError) as caught:
            read_reference(photo, kind, "references[3]")
        (problem,) = caught.value.problems
        assert problem.where == "references[3]"
        assert problem.remedy
        assert remedy in problem.remedy
