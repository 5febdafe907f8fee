"""What paint chips beside a surface are worth: ``python -m tests.benchmarks.chips``.

Measured spectra through two real cameras under seven CIE illuminants, by numbers (tests/calibration/spectral_camera.py
names the sources). Every muted spectrum in turn is the surface; the chips are other spectra near it in colour, and the
"deck" says of each what its spectrum is under D65, off by what print runs differ by. Beside them: a grey card alone,
and a chart of 24 patches. Rows give the median and 90th percentile of dE00, and how often the stated 90 % hold.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from matcher.calibration.colour_matrix import fit_matrix
from matcher.calibration.correction import corrected, unknown_camera_correction, unknown_camera_sd
from matcher.calibration.lamp import lamp_share, warmth_of
from matcher.calibration.light import Light
from matcher.calibration.paint_chip import PRINTED_SD
from matcher.calibration.photo_calibration import PhotoCalibration
from matcher.calibration.tone_curve import known_curve
from matcher.colorimetry.adaptation import relative_cones
from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.spaces import Floats, lab_to_xyz
from matcher.report.doubt import de00_sd
from matcher.surfaces import doubt
from matcher.surfaces.beside_chips import Points, evidence_of, points_of
from matcher.surfaces.surface import Cause
from tests.calibration.spectral_camera import (
    CARD_REFLECTANCE,
    NIKON,
    SIGMA,
    balanced_cones,
    camera,
    chart,
    grey_card,
    spectra,
    true_lab,
)

LAMPS = ("A", "FL2", "FL4", "FL11", "LED-B1", "LED-B3", "LED-BH1")
COUNTS = (0, 1, 3, 6)
_MUTED, _CHIP_CHROMA = 35.0, 60.0
_NINETY = 1.45  # a dE00 within so many sigmas holds the truth nine times in ten, about (two dimensions count)
_LEVEL_SD = 0.02


@dataclass(frozen=True, slots=True)
class Told:
    """``error`` and one-sigma ``sd`` of surfaces, dE00 (N,)."""

    error: Floats
    sd: Floats


def main() -> None:
    """Print the table."""
    print(f"{'':<28} {'n':>5} {'median':>7} {'90 %':>6} {'inside the stated 90 %':>24}")
    for count in COUNTS:
        told = [with_chips(name, light, count) for name in (NIKON, SIGMA) for light in LAMPS]
        _row(f"grey card and {count} chips" if count else "grey card", told)
    _row("chart of 24 patches", [with_chart(name, light) for name in (NIKON, SIGMA) for light in LAMPS])


def _row(title: str, told: list[Told]) -> None:
    error, sd = (np.concatenate([getattr(each, key) for each in told]) for key in ("error", "sd"))
    median, high = np.quantile(error, [0.5, 0.9])
    print(f"{title:<28} {len(error):>5} {median:>7.2f} {high:>6.2f} {np.mean(error < _NINETY * sd):>23.0%}")


def with_chips(name: str, light: str, count: int) -> Told:
    """Read every muted spectrum beside a grey card and its ``count`` nearest others as chips."""
    everything = spectra("all")
    truth = true_lab(everything)
    chroma = np.hypot(truth[:, 1], truth[:, 2])
    calibration = calibrated(name, light)
    means = _means(everything, name, light, calibration)
    place = calibration.lights[0]
    printed = truth + PRINTED_SD * np.random.default_rng(0).standard_normal(truth.shape)
    error, sd = [], []
    for surface in np.flatnonzero(chroma < _MUTED):
        away = delta_e_2000(truth, truth[surface])
        # The same colour is in several charts: it would be no other paint.
        away[(away < 0.1) | (chroma > _CHIP_CHROMA)] = np.inf
        near = np.argsort(away)[:count]
        chips = evidence_of(
            [str(i) for i in near], printed[near], _points(means[near], place), np.full(count, _LEVEL_SD), calibration
        )
        point = _points(means[[surface]], place)
        lab, causes = chips.corrected(point, causes_of(means[[surface]], calibration))
        covariance = np.sum(list(causes.values()), axis=0)[0]
        error.append(float(delta_e_2000(lab[0], truth[surface])))
        sd.append(de00_sd(lab[0], covariance))
    return Told(np.array(error), np.array(sd))


def with_chart(name: str, light: str) -> Told:
    """Read every muted spectrum beside a chart of 24 patches."""
    everything = spectra("all")
    truth = true_lab(everything)
    muted = np.hypot(truth[:, 1], truth[:, 2]) < _MUTED
    fit = fit_matrix(balanced_cones(chart(), name, light), relative_cones(lab_to_xyz(true_lab(chart()))))
    assert fit is not None
    log_cones = np.log(np.maximum(balanced_cones(everything[muted], name, light), 1e-6))
    lab = doubt.reflectance_lab(corrected(log_cones, fit.correction))
    sds = [
        de00_sd(each, np.diag(sd**2 + doubt.TEXTURE**2))
        for each, sd in zip(lab, doubt.camera_lab_sd(lab, fit.camera_sd), strict=True)
    ]
    return Told(np.asarray(delta_e_2000(lab, truth[muted])), np.array(sds))


def calibrated(name: str, light: str) -> PhotoCalibration:
    """Return what a grey card tells of a picture without a tone curve, as numbers."""
    warmth = warmth_of(camera(name).linear_rgb(grey_card(), light)[0] / CARD_REFLECTANCE)
    lamp = lamp_share(warmth)
    place = Light(np.zeros(2), 100.0, 1.0, np.zeros(3), "surface", np.zeros((5, 3)))
    return PhotoCalibration(
        patches=(),
        curve=known_curve(),
        table=np.zeros(256),
        shifted=np.zeros((5, 256)),
        cast=None,
        lights=(place,),
        noise=0.0,
        findings=(),
        camera_sd=unknown_camera_sd(lamp, warmth),
        chroma_sd=0.0,
        correction=unknown_camera_correction(lamp, developed=False),
        lamp=lamp,
    )


def _means(reflectance: Floats, name: str, light: str, calibration: PhotoCalibration) -> Floats:
    return corrected(np.log(np.maximum(balanced_cones(reflectance, name, light), 1e-6)), calibration.correction)


def _points(means: Floats, place: Light) -> Points:
    return points_of(means, np.zeros((len(means), 5, 3)), place)


def causes_of(means: Floats, calibration: PhotoCalibration) -> Mapping[Cause, Floats]:
    """Return what is in doubt of colours read by a card on the surface, as logarithms of cones (N, 3)."""
    return doubt.lab_covariances(
        means,
        level_sd=np.full(len(means), doubt.OWN_CARD_LEVEL),
        colour_sd=doubt.COLOUR_SHAPE * doubt.OWN_CARD_COLOUR,
        curve=calibration.curve,
        curve_shift=np.zeros((len(means), 5, 3)),
        camera_sd=calibration.camera_sd,
        chroma_sd=0.0,
        sheen=0.0,
    )


if __name__ == "__main__":
    main()
