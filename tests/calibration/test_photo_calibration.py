"""What one photo's references tell together: which curve is believed, how chips lie in the light, what is said."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from matcher.calibration.correction import lamp_correction, unknown_camera_correction, unknown_camera_sd
from matcher.calibration.paint_chip import Paints
from matcher.calibration.photo_calibration import PhotoCalibration, calibrate, with_believed_curve
from matcher.calibration.tone_curve import ToneCurve
from matcher.errors import CardError
from matcher.photo.colour_space import srgb
from matcher.photo.decoded import ColourSpace, Finding
from matcher.room.contents import Reference
from tests.calibration.scenes import BLACK, GREY, WHITE, Box, Scene, corners, smoothstep_s

RAW = replace(srgb(), tone_known=True)  # light itself, no camera's curve
PAINTS: Paints = {"A1": np.array([62.0, 9.0, 21.0]), "B2": np.array([45.0, -6.0, 8.0])}
LEFT: Box = (20, 40, 70, 90)
RIGHT: Box = (230, 40, 280, 90)


def chip(scene: Scene, code: str, box: Box, on: str | None = None) -> Reference:
    scene.paint(box, PAINTS[code])
    return Reference(kind="paint chip", paint=code, outline=corners(box), on=on)


def shot(scene: Scene, *references: Reference, space: ColourSpace | None = None) -> PhotoCalibration:
    return calibrate(scene.shoot(space=space), references or scene.cards, "photo", paints=PAINTS)


def said(calibration: PhotoCalibration) -> dict[str, Finding]:
    return {finding.check: finding for finding in calibration.findings}


def doubt(curve: ToneCurve) -> float:
    return float(np.sqrt(np.diag(curve.covariance).min()))


def test_chips_alone_leave_a_camera_s_curve_in_doubt_and_none_where_the_file_has_none() -> None:
    scene = Scene(140, 320)
    chips = [chip(scene, "A1", LEFT), chip(scene, "B2", RIGHT)]
    developed, raw = shot(scene, *chips), shot(scene, *chips, space=RAW)
    assert doubt(developed.curve) > 0.1
    assert said(developed)["tone curve unknown"].level == "warn"
    assert doubt(raw.curve) < 0.01
    assert not raw.curve.strength.any()
    assert said(raw)["tone curve none"].level == "ok"
    # And the sensor alone has no chroma of its own to answer for.
    assert raw.chroma_sd == 0 < developed.chroma_sd
    lent = ToneCurve(np.array([0.0, -0.3, -0.3, 0.0, 0.2]), 0.01 * np.eye(5), 0)
    believed = calibrate(scene.shoot(), chips, "photo", paints=PAINTS, believed=lent)
    assert said(believed)["tone curve borrowed"].level == "note"
    assert doubt(believed.curve) == pytest.approx(0.1)  # one colour beside another bounds it and no more


def test_what_lies_beside_chips_bounds_the_curve_without_cards() -> None:
    """Nothing is lighter than white: paper beside a dark chip, read through a camera's contrast, must not be."""
    bounded, codes = beside_a_chip((96.0, 0.0, 0.0))
    free, _ = beside_a_chip((50.0, 0.0, 0.0))
    paper, dark = codes
    assert bounded.table[paper] / bounded.table[dark] < 0.95 * free.table[paper] / free.table[dark]


def beside_a_chip(around: tuple[float, float, float]) -> tuple[PhotoCalibration, tuple[int, int]]:
    """A dark chip on a colour through a camera's contrast, and the file values of green around and on it."""
    scene = Scene(140, 320)
    scene.paint((0, 0, 320, 140), around)
    dark = chip(scene, "B2", LEFT)
    photo = scene.shoot(curve=smoothstep_s(0.8))
    return calibrate(photo, [dark], "photo", paints=PAINTS), (int(photo.pixels[5, 5, 1]), int(photo.pixels[60, 40, 1]))


def test_cards_fit_a_camera_s_curve_and_none_where_the_file_has_none() -> None:
    scene = Scene(140, 320)
    scene.lay_three(20, 40, 50, on="shelf")
    fitted, raw = shot(scene), shot(scene, space=RAW)
    assert fitted.curve.evidence == 2
    assert doubt(fitted.curve) > 0.01 > doubt(raw.curve)
    assert said(fitted)["tone curve"].level == "ok"
    values = dict(said(fitted)["tone curve"].values)
    assert values["ratios"] == 2
    assert values["strength"] == pytest.approx(fitted.curve.strength[0], abs=5.1e-4)


@pytest.mark.parametrize("away", [1, -1])
def test_a_chip_lies_in_the_light_of_its_place_with_its_slope(away: int) -> None:
    """Light falls off exponentially, so its logarithm at the chip is less by the slope times the way from the card."""
    scene = Scene(140, 320)
    scene.fall_off(across=0.5)
    scene.lay(GREY, (140, 40, 190, 90), on="shelf")
    left = 140 + away * 60
    lying = chip(scene, "A1", (left, 40, left + 50, 90), on="shelf")
    found = shot(scene, *scene.cards, lying)
    (one,) = found.chips
    assert one.light is found.lights[0]
    assert one.level == pytest.approx(-0.5 * away * 60 / 320, abs=0.02)
    # A chip lies as flat as a card to some hundredths, and the slope is not known better away from the card.
    assert 0.01 < one.level_sd < 0.1
    further = chip(scene, "B2", (240, 40, 290, 90), on="shelf")
    assert shot(scene, *scene.cards, lying, further).chips[1].level_sd > one.level_sd


def test_chips_stand_for_a_card_where_none_lies_and_come_after_the_cards() -> None:
    scene = Scene(140, 320)
    alone = chip(scene, "A1", LEFT, on="floor")
    scene.lay(GREY, RIGHT, on="shelf")
    beside = chip(scene, "B2", (170, 40, 220, 90), on="shelf")
    found = shot(scene, alone, *scene.cards, beside)
    assert [(light.on, light.by_chips) for light in found.lights] == [("shelf", False), ("floor", True)]
    assert [(each.chip.code, each.light.on) for each in found.chips] == [("B2", "shelf"), ("A1", "floor")]
    # One light over both, and the chip's colour is known from the deck.
    np.testing.assert_allclose(found.lights[0].cones, found.lights[1].cones, atol=0.05)
    assert len(found.patches) == 1


def test_a_chip_left_out_is_named_once_however_often_the_curve_is_changed() -> None:
    scene = Scene(140, 320)
    unknown = Reference(kind="paint chip", paint="C3", outline=corners(LEFT))
    scene.lay(GREY, RIGHT)
    found = shot(scene, unknown, *scene.cards)
    lent = ToneCurve(np.array([0.0, -0.3, -0.3, 0.0, 0.2]), 0.01 * np.eye(5), 0)
    again = with_believed_curve(with_believed_curve(found, srgb(), lent), srgb(), lent)
    for each in (found, again):
        (left_out,) = [f for f in each.findings if f.check == "chip left out"]
        assert (left_out.subject, left_out.level) == ("C3", "warn")
        told = dict(left_out.values)
        assert "no paint 'C3'" in str(told["why"])
        assert "from the deck" in str(told["remedy"])
    assert "tone curve borrowed" in said(again)
    with pytest.raises(CardError, match="no paint 'C3'") as caught:
        shot(scene, unknown)
    assert [problem.where for problem in caught.value.problems] == ["photo: references[0] (paint chip)"]


def test_cards_black_or_burnt_out_are_said_by_their_place_and_share() -> None:
    scene = Scene(140, 420, level=1.3)
    scene.lay(WHITE, (20, 40, 80, 100), on="shelf")
    scene.lay(GREY, (150, 40, 210, 100))
    scene.lay(BLACK, (280, 40, 340, 100))
    scene.xyz[40:100, 280:340] = 0
    found = said(shot(scene))
    assert (found["clipped patch"].subject, found["clipped patch"].level) == ("shelf", "warn")
    assert dict(found["clipped patch"].values)["share"] == pytest.approx(1.0, abs=0.01)
    assert (found["black patch"].subject, found["black patch"].level) == ("black card", "warn")
    assert found["black patch"].values == ()
    # Noise is told by what is not black: there it is cut off.
    assert shot(scene, *scene.cards[1:]).noise == shot(scene, scene.cards[1]).noise
    for card, what, remedy in (
        (scene.cards[0], "100 % of the patch is clipped", "darker"),
        (scene.cards[2], "black in the photo", "brighter"),
    ):
        with pytest.raises(CardError, match=what) as caught:
            shot(scene, card)
        (problem,) = caught.value.problems
        assert (problem.where, remedy in problem.remedy) == (f"photo: {card.kind}", True)
    scene.light[:, 50:80] *= 0.5
    with pytest.raises(CardError, match=r"(49|50) % of the patch is clipped"):
        calibrate(scene.shoot(noise=0), scene.cards[:1], "photo")
    half = said(calibrate(scene.shoot(noise=0), scene.cards[:2], "photo"))
    assert dict(half["clipped patch"].values)["share"] == pytest.approx(0.5, abs=0.01)


@pytest.mark.parametrize(("warm", "level"), [((1.1, 1.0, 0.7), "note"), ((1.3, 1.0, 0.12), "warn")])
def test_a_strong_cast_is_warned_of(warm: tuple[float, float, float], level: str) -> None:
    scene = Scene(140, 160)
    scene.light *= warm
    scene.lay(GREY, (40, 40, 100, 90))
    found = shot(scene)
    assert said(found)["cast"].level == level
    assert dict(said(found)["cast"].values)["angle_deg"] == pytest.approx(found.cast.angle_deg, abs=0.051)
    # What a camera leaves standing to such an extent makes it worse than what a lamp explains.
    assert (np.array(found.camera_sd) > unknown_camera_sd(1.0)).all() is np.bool_(level == "warn")


@pytest.mark.parametrize("blue", [1.0, 0.6])
def test_a_lamp_is_corrected_by_its_warmth_and_chroma_by_whether_a_camera_developed_it(blue: float) -> None:
    """How either is done: test_correction.py, test_lamp_correction.py."""
    scene = Scene(140, 160)
    scene.light *= (1.0, 1.0, blue)
    scene.lay(GREY, (40, 40, 100, 90))
    developed, raw = shot(scene), shot(scene, space=RAW)
    assert (raw.lamp == 0) is (blue == 1)
    assert raw.lamp < 1
    assert raw.camera_sd == unknown_camera_sd(raw.lamp)
    np.testing.assert_array_equal(raw.correction, lamp_correction(raw.lamp))
    np.testing.assert_array_equal(developed.correction, unknown_camera_correction(developed.lamp, developed=True))


def test_every_reference_is_read_whatever_lies_before_it() -> None:
    scene = Scene(140, 420)
    chips = [chip(scene, "A1", (20, 40, 70, 90))]
    scene.lay(GREY, (150, 40, 200, 90), on="a")
    scene.lay(WHITE, (200, 40, 250, 90), on="a")
    found = shot(scene, *chips, *scene.cards)
    assert [p.kind for p in found.patches] == ["grey card", "white card"]
    assert [each.chip.code for each in found.chips] == ["A1"]
    narrow = Reference(kind="grey card", reflectance=0.18, outline=corners((300, 40, 303, 43)))
    off = Reference(kind="grey card", reflectance=0.18, outline=corners((310, 40, 313, 43)))
    with pytest.raises(CardError) as caught:
        shot(scene, narrow, off, *scene.cards)
    assert [problem.where for problem in caught.value.problems] == [
        f"photo: references[{index}] (grey card)" for index in (0, 1)
    ]


def test_a_curve_of_cards_is_not_taken_for_that_of_chips() -> None:
    scene = Scene(140, 420)
    scene.lay_three(20, 40, 50, on="shelf")
    lying = chip(scene, "A1", (300, 40, 350, 90), on="floor")
    bent = calibrate(scene.shoot(curve=smoothstep_s(0.4)), [*scene.cards, lying], "photo", paints=PAINTS)
    alone = calibrate(scene.shoot(curve=smoothstep_s(0.4)), scene.cards, "photo")
    np.testing.assert_array_equal(bent.table, alone.table)
    assert bent.cast.angle_deg == alone.cast.angle_deg
