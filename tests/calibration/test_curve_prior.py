"""What is believed of a tone curve that no scale of greys shows: white beside the card, and the lamp's colour."""

from __future__ import annotations

import numpy as np
import pytest

from matcher.calibration.photo_calibration import calibrate
from matcher.calibration.tone_curve import ToneCurve, linear_table, smooth_covariance
from matcher.colorimetry.lrv import lrv
from matcher.photo.colour_space import srgb
from tests.calibration.scenes import GREY, WARM_LIGHT, Curve, Scene, plain, smoothstep_s
from tests.calibration.test_tone_curve import read_as

# L* 95 is Munsell value 9.5, the white end of the scale (ASTM D1535: Y = 87.6 there and by CIE 015:2018 alike).
_WHITE_PAINT, _DARK_PAINT = [95.0, 0, 1], [55.0, 0, 4]
# A full smoothstep: the project's own S of strength 0.4 lies close to 0.65 of it.
_STRONG = 0.65


def believed(
    paint: list[float], curve: Curve, *, warm: bool = False, level: float = 0.75, borrowed: ToneCurve | None = None
) -> ToneCurve:
    """The curve of a photo with one grey card on a painted board."""
    scene = Scene(200, 240, level=level)
    scene.paint((0, 0, 240, 200), paint)
    if warm:
        scene.light *= WARM_LIGHT
    scene.lay(GREY, (90, 70, 150, 130))
    return calibrate(scene.shoot(curve=curve), scene.cards, "photo", believed=borrowed).curve


def test_white_paint_that_would_be_lighter_than_white_shows_the_curve() -> None:
    assert float(lrv(np.array(_WHITE_PAINT))) == pytest.approx(87.6, abs=0.1)
    found = believed(_WHITE_PAINT, smoothstep_s(_STRONG))
    assert -0.5 < found.strength[2] < -0.15
    assert found.evidence == 0


def test_white_paint_in_a_plain_file_changes_next_to_nothing() -> None:
    assert believed(_WHITE_PAINT, plain).strength[2] > -0.06


def test_a_darker_board_shows_nothing_of_the_curve() -> None:
    without = believed(_DARK_PAINT, plain)
    assert believed(_DARK_PAINT, smoothstep_s(_STRONG)).strength[2] == pytest.approx(without.strength[2], abs=1e-3)


def test_white_brings_the_reading_nearer() -> None:
    """The strongest S, over reflectances from 0.07 to 0.7 beside the card: two thirds as far off at most."""
    shown, unknown = (
        np.abs(read_as(linear_table(believed(paint, smoothstep_s(_STRONG)).strength, srgb(), 256), _STRONG)).max()
        for paint in (_WHITE_PAINT, _DARK_PAINT)
    )
    assert shown < 0.66 * unknown


def test_a_clipped_board_says_nothing() -> None:
    clipped = believed(_WHITE_PAINT, plain, level=1.4)
    assert clipped.strength[2] == pytest.approx(believed(_DARK_PAINT, plain).strength[2], abs=1e-3)


def test_lamp_light_left_in_the_card_leans_the_belief() -> None:
    """And the doubt still holds the plain curve."""
    by_lamp, by_day = (believed(_DARK_PAINT, plain, warm=warm) for warm in (True, False))
    assert by_lamp.strength[2] < by_day.strength[2] - 0.1
    assert -by_lamp.strength[2] < 1.645 * np.sqrt(by_lamp.covariance[2, 2])


@pytest.mark.parametrize("strength", [0.0, 0.3, 0.5])
@pytest.mark.parametrize("warm", [True, False])
def test_the_doubt_holds_plain_and_curved_files(strength: float, warm: bool) -> None:
    """The S of other strengths than the project's own shape, read as reflectances beside the card."""
    curve = believed(_DARK_PAINT, smoothstep_s(strength), warm=warm)
    error = read_as(linear_table(curve.strength, srgb(), 256), strength)
    step = 0.01
    by_strength = np.stack(
        [
            (read_as(linear_table(curve.strength + step * axis, srgb(), 256), strength) - error) / step
            for axis in np.eye(5)
        ]
    )
    stated = np.sqrt(np.einsum("ij,ik,kj->j", by_strength, curve.covariance, by_strength))
    assert (np.abs(error) < 2 * stated + 0.01).all()


def test_what_another_photo_tells_is_bounded_by_white_too() -> None:
    borrowed = ToneCurve(np.zeros(5), smooth_covariance(0.15, 0.3), 0)
    bounded = believed(_WHITE_PAINT, smoothstep_s(_STRONG), borrowed=borrowed)
    assert bounded.strength[2] < -0.05
    assert np.trace(bounded.covariance) < 0.8 * np.trace(borrowed.covariance)
