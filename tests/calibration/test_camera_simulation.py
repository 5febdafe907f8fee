"""Real measured spectra through real cameras' sensitivities, six CIE illuminants and the calibration.

The camera believes in daylight; a grey card in the same light balances what it wrote. Limits are those the project set
itself: muted spectra (C*ab below 20) within dE00 1.3 at the median and 3 at the 90th percentile, warm or cool right on
97 %. Where a camera cannot keep them the test says so and by how much (strict xfail: it fails once they are kept).
"""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from matcher.calibration.light import cone_matrix
from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.spaces import Floats, linear_srgb_to_xyz, xyz_to_lab
from matcher.harmony.tint import visibility
from matcher.harmony.warmth import warmth
from matcher.photo.colour_space import srgb
from matcher.surfaces.doubt import reflectance_lab
from tests.calibration.spectral_camera import CARD_REFLECTANCE, NIKON, SIGMA, camera, grey_card, spectra, true_lab

LIGHTS = ("D65", "D50", "A", "FL2", "FL11", "LED-B1")
MUTED_CHROMA = 20.0


def found_lab(camera_name: str, light: str, which: str) -> Floats:
    """CIELAB of the spectra as the project makes it of the camera's linear RGB and a grey card in the same light."""
    to_cones = cone_matrix(srgb())
    shot = camera(camera_name)
    card = np.log(to_cones @ shot.linear_rgb(grey_card(), light)[0] / CARD_REFLECTANCE)
    cones = np.log(np.maximum(shot.linear_rgb(spectra(which), light) @ to_cones.T, 1e-6))
    return reflectance_lab(cones - card)


def muted(which: str) -> NDArray[np.bool_]:
    lab = true_lab(spectra(which))
    return np.asarray(np.hypot(lab[:, 1], lab[:, 2]) < MUTED_CHROMA)


def errors(camera_name: str, which: str, lights: tuple[str, ...] = LIGHTS) -> Floats:
    """dE00 of the muted spectra under each light, (lights, N)."""
    truth = true_lab(spectra(which))
    rows = [delta_e_2000(found_lab(camera_name, light, which), truth)[muted(which)] for light in lights]
    return np.stack(rows)


@pytest.mark.parametrize("light", LIGHTS)
@pytest.mark.parametrize("name", [NIKON, SIGMA])
def test_the_card_itself_comes_out_at_its_reflectance_and_neutral(name: str, light: str) -> None:
    """L* of Y = 0.18 is 49.496 (CIE 015:2018, 116 Y^(1/3) - 16)."""
    to_cones = cone_matrix(srgb())
    card = camera(name).linear_rgb(grey_card(), light)
    level = np.log(to_cones @ card[0] / CARD_REFLECTANCE)
    np.testing.assert_allclose(reflectance_lab(np.log(card @ to_cones.T) - level), [[49.496, 0, 0]], atol=2e-3)


def test_muted_chart_patches_are_within_limits_under_all_six_lights() -> None:
    """Chart spectra: Ohta 1997, BabelColor 2012, Luo 2024 (colour-science)."""
    for name in (NIKON, SIGMA):
        de00 = errors(name, "charts")
        assert np.median(de00) <= 1.3
        assert np.quantile(de00, 0.9) <= 3.0


@pytest.mark.parametrize(
    "name",
    [
        NIKON,
        pytest.param(
            SIGMA,
            marks=pytest.mark.xfail(
                strict=True,
                reason="1.50: this camera is 1.5 off under D65 itself, before any light is taken out",
            ),
        ),
    ],
)
def test_muted_spectra_median_under_six_lights(name: str) -> None:
    """Charts and the colour evaluation samples of CIE 224:2017."""
    assert np.median(errors(name, "all")) <= 1.3


def test_muted_spectra_ninetieth_percentile_under_d65() -> None:
    assert np.quantile(errors(NIKON, "all", ("D65",)), 0.9) <= 3.0


@pytest.mark.xfail(
    strict=True,
    reason="Nikon 4.6, Sigma 5.5: A (4.9), FL2 (4.2), FL11 (4.2) and LED-B1 (5.7) spoil it. The evaluation samples do; "
    "chart patches stay below 1.9. The best matrix for each lamp, sought on these very spectra for this very "
    "percentile, leaves 4.0 (python -m tests.benchmarks.camera_limit): what a lamp's spectrum does to single colours "
    "no white balance undoes.",
)
@pytest.mark.parametrize("name", [NIKON, SIGMA])
def test_muted_spectra_ninetieth_percentile_under_six_lights(name: str) -> None:
    assert np.quantile(errors(name, "all"), 0.9) <= 3.0


@pytest.mark.parametrize("name", [NIKON, SIGMA])
def test_warm_or_cool_is_right_on_97_percent_of_what_shows_a_tint(name: str) -> None:
    """Of muted spectra at or beyond the tint boundary: a plain grey is neither warm nor cool."""
    truth = true_lab(spectra("all"))
    chosen = muted("all") & (visibility(truth) >= 1)
    same = [
        np.sign(warmth(found_lab(name, light, "all")[chosen])) == np.sign(warmth(truth[chosen])) for light in LIGHTS
    ]
    assert chosen.sum() >= 20
    assert np.mean(same) >= 0.97


@pytest.mark.parametrize("light", ["A", "FL2", "FL11", "LED-B1"])
def test_balancing_cones_beats_gains_on_rgb(light: str) -> None:
    """Bradford's space against gains on linear sRGB, the same data otherwise."""
    shot = camera(NIKON)
    gains = CARD_REFLECTANCE / shot.linear_rgb(grey_card(), light)[0]
    plain = xyz_to_lab(linear_srgb_to_xyz(shot.linear_rgb(spectra("all"), light) * gains))
    truth = true_lab(spectra("all"))
    chosen = muted("all")
    by_gains = delta_e_2000(plain, truth)[chosen]
    by_cones = delta_e_2000(found_lab(NIKON, light, "all"), truth)[chosen]
    assert np.quantile(by_cones, 0.9) < np.quantile(by_gains, 0.9)
    assert np.median(by_cones) < np.median(by_gains)
