"""Measured spectra seen by a real camera, as numbers: what a picture of them would hold, and what they truly are.

All data comes from colour-science: CIE illuminants and the CIE 1931 2 degree observer (CIE 015:2018), the sensitivities
of two cameras (Nikon 5100, Sigma SDMerill; Darrodi, Finlayson, Goodman & Mackiewicz 2015, National Physical
Laboratory), the 99 colour evaluation samples of CIE 224:2017, and three charts measured as spectra: the usual one
of 24 patches (Ohta 1997), the same (mean of 30, BabelColor 2012), preferred memory colours (Luo 2024).
"""

from __future__ import annotations

import warnings
from dataclasses import dataclass
from functools import cache
from types import ModuleType
from typing import Any

import numpy as np

from matcher.calibration.light import cone_matrix
from matcher.colorimetry.spaces import WHITE_D65, Floats, xyz_to_lab, xyz_to_linear_srgb
from matcher.photo.colour_space import srgb

NIKON, SIGMA = "Nikon 5100 (NPL)", "Sigma SDMerill (NPL)"
CARD_REFLECTANCE = 0.18
_NM = np.arange(380.0, 781.0)
_PERFECT = np.ones(len(_NM))
_CHARTS = ("ColorChecker N Ohta", "BabelColor Average", "PMC")
_FITTED_ON = "ColorChecker N Ohta"
_DARK = 0.1  # weight 1 / (this + level): dark patches count as well as light ones in the camera's matrix


@cache
def spectra(which: str) -> Floats:
    """Return reflectances (N, 401) of "charts", "evaluation samples" or "all"."""
    if which == "all":
        return np.concatenate([spectra("charts"), spectra("evaluation samples")])
    if which == "charts":
        return np.concatenate([_chart(name) for name in _CHARTS])
    shape = _colour().SpectralShape(380, 780, 5)
    from colour.quality.cfi2017 import load_TCS_CIE2017

    samples = load_TCS_CIE2017(shape)
    return np.stack([np.interp(_NM, samples.wavelengths, values) for values in samples.values.T])


def visible_nm() -> Floats:
    """Return the wavelengths (401,) of every curve here, nm."""
    return _NM


def chart() -> Floats:
    """Return reflectances (24, 401) of the chart of 24 patches, mean of 30 (BabelColor 2012)."""
    return _chart("BabelColor Average")


def true_lab(reflectance: Floats) -> Floats:
    """Return CIELAB D65/2 (N, 3) of reflectances (N, 401)."""
    return xyz_to_lab(_xyz(reflectance) * (WHITE_D65 / _xyz(_PERFECT)))


@dataclass(frozen=True, slots=True, eq=False)
class Camera:
    """``sensitivities`` (401, 3); ``matrix`` (3, 3) from raw balanced for D65 to linear sRGB, fitted under D65."""

    sensitivities: Floats
    matrix: Floats

    def linear_rgb(self, reflectance: Floats, light: str) -> Floats:
        """Return linear sRGB (N, 3) as the camera writes it: balanced for D65, whatever the light is."""
        raw = (reflectance * illuminant(light)) @ self.sensitivities
        level = (_PERFECT * illuminant(light)) @ self.sensitivities
        balanced = raw / ((_PERFECT * illuminant("D65")) @ self.sensitivities)
        exposure = 1 / (level / ((_PERFECT * illuminant("D65")) @ self.sensitivities))[1]
        return np.asarray(balanced * exposure @ self.matrix.T)


@cache
def camera(name: str) -> Camera:
    """Return a camera with its daylight matrix: least squares over a chart, white kept white."""
    table = _colour().MSDS_CAMERA_SENSITIVITIES[name]
    sensitivities = np.stack([np.interp(_NM, table.wavelengths, v, 0, 0) for v in table.values.T], axis=1)
    chart = _chart(_FITTED_ON)
    return Camera(sensitivities, to_linear_srgb(Camera(sensitivities, np.eye(3)).linear_rgb(chart, "D65"), chart))


def to_linear_srgb(raw: Floats, reflectance: Floats) -> Floats:
    """Return a camera's matrix (3, 3) to linear sRGB, fitted to balanced ``raw`` (N, 3) of reflectances (N, 401)."""
    target = xyz_to_linear_srgb(_xyz(reflectance) * (WHITE_D65 / _xyz(_PERFECT)))
    return white_keeping(raw, target, 1 / (_DARK + target.mean(axis=1)))


def white_keeping(seen: Floats, target: Floats, weight: Floats) -> Floats:
    """Return the matrix (3, 3) from ``seen`` to ``target`` (N, 3) by weighted least squares, white kept white."""
    rows = []
    for channel in range(3):
        # A row that sums to one keeps white: two differences are free.
        others = [c for c in range(3) if c != channel]
        design = (seen[:, others] - seen[:, [channel]]) * weight[:, None]
        solved = np.linalg.lstsq(design, (target[:, channel] - seen[:, channel]) * weight, rcond=None)[0]
        rows.append(np.insert(solved, channel, 1 - solved.sum()))
    return np.array(rows)


def balanced_cones(reflectance: Floats, name: str, light: str) -> Floats:
    """Return cone responses (N, 3) relative to white, as a picture balanced by a grey card in it holds them."""
    to_cones = cone_matrix(srgb())
    white = to_cones @ camera(name).linear_rgb(grey_card(), light)[0] / CARD_REFLECTANCE
    return np.asarray(camera(name).linear_rgb(reflectance, light) @ to_cones.T / white)


def grey_card() -> Floats:
    """Return the reflectance (1, 401) of a perfectly neutral card."""
    return CARD_REFLECTANCE * _PERFECT[None]


@cache
def illuminant(name: str) -> Floats:
    """Return relative spectral power (401,) of a CIE illuminant."""
    return _at_each_nm(_colour().SDS_ILLUMINANTS[name])


def _xyz(reflectance: Floats) -> Floats:
    table = _colour().MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    observer = np.stack([np.interp(_NM, table.wavelengths, values) for values in table.values.T], axis=1)
    weights = illuminant("D65")[:, None] * observer
    return np.asarray(reflectance @ weights / weights[:, 1].sum())


def _chart(name: str) -> Floats:
    return np.stack([_at_each_nm(patch) for patch in _colour().SDS_COLOURCHECKERS[name].values()])


def _at_each_nm(distribution: Any) -> Floats:
    return np.asarray(np.interp(_NM, distribution.wavelengths, distribution.values))


@cache
def _colour() -> ModuleType:
    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", message='"Matplotlib" related API features', category=Warning)
        import colour
    return colour
