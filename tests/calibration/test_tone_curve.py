"""The tone curve: recovered from cards of known reflectance, believed where there are none, always rising."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from matcher.calibration.curve_prior import NOT_PLAIN, beliefs, mixed
from matcher.calibration.photo_calibration import PhotoCalibration, calibrate
from matcher.calibration.tone_curve import (
    TONES,
    ToneCurve,
    known_curve,
    linear_table,
    plain_table,
    same_camera_curve,
    smooth_covariance,
    tone_weights,
)
from matcher.colorimetry.spaces import Floats, srgb_encode
from matcher.photo.colour_space import srgb
from tests.calibration.scenes import GREY, WARM_LIGHT, Scene, smoothstep_s

STRENGTHS = (0.0, 0.15, 0.3, 0.45, 0.6)
REFLECTANCES = np.array([0.07, 0.1, 0.14, 0.25, 0.35, 0.5, 0.7])
_LEVEL = 0.8


def photographed(strength: float, *, seed: int = 0) -> PhotoCalibration:
    """Three cards at two places, light falling off between them, behind an S curve."""
    scene = Scene(160, 420, level=_LEVEL)
    scene.light *= WARM_LIGHT
    scene.fall_off(across=0.5, down=0.2)
    scene.lay_three(20, 50, 50, on="worktop")
    scene.lay_three(240, 60, 50, on="floor")
    return calibrate(scene.shoot(curve=smoothstep_s(strength), seed=seed), scene.cards, "photo")


def read_as(table: Floats, strength: float) -> Floats:
    """Logarithm of each reflectance, grey card 0.18, as read under ``table`` where light is at the scene's level."""
    linear = np.append(REFLECTANCES, 0.18) * _LEVEL * 0.8
    codes = smoothstep_s(strength)(srgb_encode(linear)) * 255
    found = np.log(np.interp(codes, np.arange(256), table))
    return np.asarray(found[:-1] - found[-1] - np.log(REFLECTANCES / 0.18))


@pytest.mark.parametrize("strength", STRENGTHS)
def test_a_known_s_curve_is_undone_within_its_stated_doubt(strength: float) -> None:
    measured = photographed(strength)
    error = read_as(measured.table, strength)
    step = 0.01
    by_strength = np.stack(
        [
            (read_as(linear_table(measured.curve.strength + step * axis, srgb(), 256), strength) - error) / step
            for axis in np.eye(5)
        ]
    )
    stated = np.sqrt(np.einsum("ij,ik,kj->j", by_strength, measured.curve.covariance, by_strength))
    assert measured.curve.evidence == 4
    assert (np.abs(error) < 2 * stated + 0.01).all()
    assert np.abs(error).max() < 0.08


def test_the_grey_card_alone_would_have_been_far_off() -> None:
    """So that the test above cannot pass by doing nothing."""
    undone = plain_table(srgb(), 256)
    assert np.abs(read_as(undone, 0.45)).max() > 0.25


def test_stronger_curves_are_found_stronger() -> None:
    found = [photographed(strength).curve.strength[1] for strength in STRENGTHS]
    assert (np.diff(found) < -0.05).all()


def test_one_grey_card_leaves_the_belief_as_it_is() -> None:
    scene = Scene(140, 160)
    scene.lay(GREY, (40, 40, 100, 90))
    believed = ToneCurve(np.array([0.0, -0.3, -0.3, 0.0, 0.2]), 0.01 * np.eye(5), 0)
    again = calibrate(scene.shoot(), scene.cards, "photo", believed=believed)
    np.testing.assert_allclose(again.curve.strength, believed.strength, atol=1e-3)
    np.testing.assert_allclose(again.curve.covariance, believed.covariance, atol=1e-4)
    assert "tone curve borrowed" in [f.check for f in again.findings]


def test_two_cards_of_one_reflectance_say_nothing_about_the_curve() -> None:
    scene = Scene(140, 260)
    scene.lay(GREY, (40, 40, 100, 90))
    scene.lay(GREY, (100, 40, 160, 90))
    assert calibrate(scene.shoot(curve=smoothstep_s(0.4)), scene.cards, "photo").curve.evidence == 0


def test_evidence_narrows_the_doubt() -> None:
    measured = photographed(0.3).curve
    _, beforehand = mixed(beliefs(NOT_PLAIN))
    assert (np.diag(measured.covariance) < 0.5 * np.diag(beforehand)).all()


@given(strength=st.tuples(*[st.floats(-1.5, 1.5)] * 5), size=st.sampled_from([256, 4096, 65536]))
def test_every_decode_table_rises_from_black_to_white(strength: tuple[float, ...], size: int) -> None:
    table = linear_table(np.array(strength), srgb(), size)
    assert table[0] == 0
    assert table[-1] == pytest.approx(1, abs=1e-12)
    assert (np.diff(table) > 0).all()


@given(strength=st.tuples(*[st.floats(-0.8, 0.8)] * 5))
def test_fine_and_coarse_tables_are_one_curve(strength: tuple[float, ...]) -> None:
    """Repainting decodes 16 bits where reading decodes 8: above the darkest values they agree."""
    coarse, fine = (linear_table(np.array(strength), srgb(), size) for size in (256, 65536))
    np.testing.assert_allclose(fine[::257][16:], coarse[16:], rtol=0.01)


def test_no_strength_is_the_standard_s_own_curve() -> None:
    """IEC 61966-2-1, its two branches written out."""
    value = np.arange(256) / 255
    standard = np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4)
    np.testing.assert_allclose(plain_table(srgb(), 256), standard, atol=2e-6)


@settings(max_examples=25, deadline=None)
@given(strength=st.floats(-0.9, 1.0), seed=st.integers(0, 1000))
def test_whatever_curve_the_camera_has_the_fitted_one_rises(strength: float, seed: int) -> None:
    measured = photographed(strength, seed=seed)
    assert (np.diff(measured.table) > 0).all()
    assert np.isfinite(measured.curve.covariance).all()
    assert (np.linalg.eigvalsh(measured.curve.covariance) > 0).all()


def test_a_room_s_other_photos_are_believed_with_their_spread() -> None:
    near = ToneCurve(np.array([0.2, 0.0, 0.0, 0.0, 0.0]), 1e-3 * np.diag([1.0, 2.0, 3.0, 4.0, 5.0]), 4)
    far = ToneCurve(np.array([0.6, 0.0, 0.0, 0.0, 0.0]), 3 * near.covariance, 4)
    believed = same_camera_curve([near, far])
    np.testing.assert_allclose(believed.strength, [0.4, 0, 0, 0, 0])
    # Sample variance of 0.2 and 0.6 is 0.08; of what each leaves open the mean counts.
    alone = same_camera_curve([near])
    expected = np.diag([0.08, 0, 0, 0, 0]) + near.covariance
    np.testing.assert_allclose(believed.covariance - alone.covariance, expected, atol=1e-12)
    assert believed.evidence == alone.evidence == 0
    # One phone moves from scene to scene: by so much at the five tones in seven photographs (tone_curve.py).
    moves = np.sqrt(np.diag(alone.covariance - near.covariance))
    seen = np.sqrt(np.mean(np.square([0.11, 0.11, 0.16, 0.18, 0.12])))
    np.testing.assert_allclose(moves, seen, rtol=0.15)


def test_a_file_without_a_curve_leaves_next_to_nothing_open() -> None:
    """Black level and flare bend a sensor's line by some thousandths: an assumption."""
    known = known_curve()
    assert known.evidence == 0
    assert not known.strength.any()
    sd = np.sqrt(np.diag(known.covariance))
    assert ((sd > 1e-3) & (sd < 0.01)).all()


def test_tones_between_and_above_the_known_ones_lie_on_straight_lines() -> None:
    """What straight lines do: weights sum to one and give back a line; below the first tone the first one holds. All
    are file values, which pixels have.
    """
    assert 0 < TONES[0] < TONES[-1] < 1
    values = np.linspace(float(TONES[0]), 1.0, 60)
    weights = tone_weights(values)
    np.testing.assert_allclose(weights.sum(axis=0), 1, atol=1e-12)
    np.testing.assert_allclose(TONES @ weights, values, atol=1e-12)
    np.testing.assert_allclose(tone_weights(np.array([0.0]))[:, 0], [1, 0, 0, 0, 0])


@pytest.mark.parametrize("sd", [0.05, 2.0])
def test_a_smooth_covariance_has_its_variance_and_forgets_with_distance(sd: float) -> None:
    """A squared-exponential kernel (Rasmussen & Williams 2006, eq. 2.31): sd^2 on the diagonal, by exp(-1/2) less at a
    span apart, positive definite.
    """
    span = float(TONES[2] - TONES[1])
    found = smooth_covariance(sd, span)
    np.testing.assert_allclose(np.diag(found), sd**2)
    assert found[1, 2] == pytest.approx(sd**2 * np.exp(-0.5))
    assert np.linalg.eigvalsh(found).min() > 0
