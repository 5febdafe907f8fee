"""What is taken out of pictures by warm lamps, made again from colour-science's cameras, illuminants and spectra."""

from __future__ import annotations

import numpy as np
import pytest

from matcher.calibration.correction import lamp_correction, unknown_camera_sd
from matcher.colorimetry.adaptation import BRADFORD
from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.illuminants import wavelengths
from matcher.colorimetry.smoothest import smoothest
from matcher.colorimetry.spaces import WHITE_D65, Floats, lab_to_xyz
from matcher.surfaces.doubt import reflectance_lab
from tests.calibration.spectral_camera import (
    NIKON,
    SIGMA,
    balanced_cones,
    spectra,
    true_lab,
    visible_nm,
    white_keeping,
)
from tests.calibration.test_camera_simulation import muted

WARM = ("A", "LED-B1", "LED-B2")  # CIE 015:2018: 2856, 2733 and 2998 K
CAMERAS = (NIKON, SIGMA)
_COUNT = 600
_DARK = 0.05


def smooth_reflectances() -> Floats:
    """Reflectances (N, 401) of muted colours as surfaces have them: smoothest curves (Burns 2020) of drawn CIELAB."""
    rng = np.random.default_rng(0)
    lightness, chroma = rng.uniform(25, 93, _COUNT), np.abs(rng.normal(0, 14, _COUNT))
    hue = rng.uniform(0, 2 * np.pi, _COUNT)
    curves, _ = smoothest(np.stack([lightness, chroma * np.cos(hue), chroma * np.sin(hue)], axis=1))
    return np.stack([np.interp(visible_nm(), wavelengths(), curve) for curve in curves])


def fitted(name: str, light: str, reflectance: Floats) -> Floats:
    """The matrix (3, 3), rows summing to one, from what is seen to the eye's cones; muted and dark ones weigh most."""
    lab = true_lab(reflectance)
    eye = lab_to_xyz(lab) @ BRADFORD.T / (BRADFORD @ WHITE_D65)
    weight = 1 / (_DARK + eye.mean(axis=1)) / (1 + np.hypot(lab[:, 1], lab[:, 2]) / 10)
    cones = balanced_cones(reflectance, name, light)
    return white_keeping(cones, eye, weight)


def test_the_matrix_is_a_quarter_of_the_mean_over_cameras_and_warm_lamps() -> None:
    reflectance = smooth_reflectances()
    mean = np.mean([fitted(name, light, reflectance) for name in CAMERAS for light in WARM], axis=0)
    np.testing.assert_allclose(lamp_correction(1.0), (3 * np.eye(3) + mean) / 4, atol=2e-3)


def test_white_stays_white_and_daylight_as_it_is() -> None:
    np.testing.assert_allclose(lamp_correction(0.7) @ np.ones(3), np.ones(3), atol=1e-9)
    np.testing.assert_array_equal(lamp_correction(0.0), np.eye(3))


@pytest.mark.parametrize("name", CAMERAS)
def test_measured_spectra_by_led_come_nearer(name: str) -> None:
    """Chart patches and evaluation samples (CIE 224:2017), none of which the matrix was fitted on."""
    truth = true_lab(spectra("all"))[muted("all")]
    for light in ("LED-B1", "LED-B2"):
        cones = balanced_cones(spectra("all"), name, light)[muted("all")]
        before, after = (
            delta_e_2000(reflectance_lab(np.log(np.maximum(cones @ matrix.T, 1e-6))), truth)
            for matrix in (np.eye(3), lamp_correction(1.0))
        )
        assert np.median(after) < np.median(before)


def test_a_camera_is_doubted_more_by_a_lamp() -> None:
    assert (np.array(unknown_camera_sd(1.0)) > np.array(unknown_camera_sd(0.0))).all()
