"""The matrix between what a camera saw of a chart and what the chart is: white kept, fitted with restraint.

A white balance sets the light right and leaves what the camera's sensitivities and the lamp's spectrum do to single
colours. A linear map that leaves white alone has six free numbers; 24 patches can support them, with a lean to "no
correction" that a poor chart cannot pull far. A quadratic root-polynomial (Finlayson, Mackiewicz & Hurlbert 2015) was
tried beside it: see tests/benchmarks/chart.py.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from matcher.calibration.correction import UNKNOWN_CAMERA_SD
from matcher.colorimetry.adaptation import BRADFORD
from matcher.colorimetry.spaces import WHITE_D65, Floats, xyz_to_lab

# Assumptions: one-sigma of the matrix's free numbers over cameras and lamps, and of what no matrix explains of a patch
# (dE00: print run, wear, a hint of gloss); patches further off than this many of those are taken for outliers.
_MATRIX_SD = 0.12
_PATCH_SD = 1.2
_OUTLIER = 2.0
# Chroma at which a patch counts half as much: walls, worktops and floors are muted.
_HALF_CHROMA = 60.0
_ROUNDS, _MORE_ROUNDS = 8, 3
_STEP = 1e-5
_FEWEST = 12
# Chart patches are a small choice of all spectra: what a matrix fitted to them leaves on others, over what it leaves on
# patches left out of the fit (measured spectra through two cameras under eight lamps: tests/benchmarks/chart.py).
_OTHER_SPECTRA = 1.3
_BASES = np.geomspace(0.3, 3.0, 24)
_SLOPES = np.geomspace(0.01, 0.2, 24)
_GREY_CHROMA = 5.0
_TAIL = 5.0  # degrees of freedom
_PRIOR_LOG_SD = 0.7  # of the logarithm of either number of the camera's error, about the unknown camera's
_PAIRS = np.array([[0, 1], [0, 2], [1, 0], [1, 2], [2, 0], [2, 1]])
_FROM_CONES = np.linalg.inv(BRADFORD)
_WHITE_CONES = BRADFORD @ WHITE_D65


@dataclass(frozen=True, slots=True, eq=False)
class ColourFit:
    """``matrix`` (3, 3) on cone responses relative to white, rows summing to 1; ``left_out`` (N, 3) CIELAB error of
    each patch when the matrix is fitted without it; ``camera_sd`` one-sigma in Lab at grey and per unit of chroma.
    """

    matrix: Floats
    left_out: Floats
    camera_sd: tuple[float, float]


def fit_matrix(seen: Floats, true: Floats) -> ColourFit | None:
    """Fit responses ``seen`` (N, 3) to ``true`` (N, 3), both relative to white; None for too few patches."""
    if len(seen) < _FEWEST:
        return None
    lab = _lab(true)
    left_out = np.empty_like(true)
    free = _fit(np.zeros(len(_PAIRS)), seen, lab, _ROUNDS)
    everyone = np.arange(len(seen))
    for i in everyone:
        others = everyone != i
        without = _fit(free, seen[others], lab[others], _MORE_ROUNDS)
        left_out[i] = _lab(seen[i : i + 1] @ _matrix(without).T)[0] - lab[i]
    return ColourFit(_matrix(free), left_out, _camera_sd(left_out, lab))


def relative_cones(xyz: Floats) -> Floats:
    """Return cone responses (N, 3) relative to white of XYZ under D65 (N, 3), white Y = 1."""
    return np.asarray(xyz @ BRADFORD.T / _WHITE_CONES)


def _lab(cones: Floats) -> Floats:
    return xyz_to_lab((np.maximum(cones, 1e-4) * _WHITE_CONES) @ _FROM_CONES.T)


def _matrix(free: Floats) -> Floats:
    matrix = np.eye(3)
    for (row, column), value in zip(_PAIRS, free, strict=True):
        matrix[row, column] += value
        matrix[row, row] -= value
    return matrix


def _fit(free: Floats, seen: Floats, lab: Floats, rounds: int) -> Floats:
    """Return the most probable free numbers, starting from ``free``.

    By Gauss-Newton on differences scaled as CIEDE2000 does.
    """
    scale = _difference_scale(lab)
    muted = 1 / (1 + np.hypot(lab[:, 1], lab[:, 2]) / _HALF_CHROMA)
    for _ in range(rounds):
        base = _residual(free, seen, lab, scale)
        steps = [_residual(free + _STEP * axis, seen, lab, scale) for axis in np.eye(len(free))]
        jacobian = np.stack([(step - base) / _STEP for step in steps], axis=-1)  # (N, 3, 6)
        size = np.linalg.norm(base, axis=1) / (_OUTLIER * _PATCH_SD)
        weight = muted / np.maximum(1.0, size) / _PATCH_SD**2
        normal = np.einsum("nki,n,nkj->ij", jacobian, weight, jacobian) + np.eye(len(free)) / _MATRIX_SD**2
        gradient = np.einsum("nki,n,nk->i", jacobian, weight, base) + free / _MATRIX_SD**2
        free = free - np.linalg.solve(normal, gradient)
    return free


def _residual(free: Floats, seen: Floats, lab: Floats, scale: Floats) -> Floats:
    return np.asarray(np.einsum("nij,nj->ni", scale, _lab(seen @ _matrix(free).T) - lab))


def _difference_scale(lab: Floats) -> Floats:
    """Return (N, 3, 3): differences in Lab as lightness, chroma and hue, each over its weight in CIEDE2000."""
    chroma = np.hypot(lab[:, 1], lab[:, 2])
    # The weights' plain parts: S_C = 1 + 0.045 C, S_H about 1 + 0.015 C, S_L about 1 (CIE 142-2001).
    hue = np.arctan2(lab[:, 2], lab[:, 1])
    scale = np.zeros((len(lab), 3, 3))
    scale[:, 0, 0] = 1
    scale[:, 1, 1], scale[:, 1, 2] = np.cos(hue) / (1 + 0.045 * chroma), np.sin(hue) / (1 + 0.045 * chroma)
    scale[:, 2, 1], scale[:, 2, 2] = -np.sin(hue) / (1 + 0.015 * chroma), np.cos(hue) / (1 + 0.015 * chroma)
    return scale


def _camera_sd(left_out: Floats, lab: Floats) -> tuple[float, float]:
    """Return the camera's error that makes the left-out patches likeliest, leaning to the unknown camera's."""
    # Greys have flat spectra, which every camera sees alike: they would promise too much for a muted colour.
    coloured = np.hypot(lab[:, 1], lab[:, 2]) > _GREY_CHROMA
    left_out, lab = left_out[coloured], lab[coloured]
    chroma = np.hypot(lab[:, 1], lab[:, 2])
    sd = _BASES[:, None, None] + _SLOPES[:, None] * chroma
    off = (left_out[:, 1:] ** 2).sum(axis=1)
    # Student's t in two dimensions: one bad patch says little about the rest.
    likely = -(2 * np.log(sd) + (_TAIL / 2 + 1) * np.log1p(off / (_TAIL * sd**2))).sum(axis=-1)
    base, slope = UNKNOWN_CAMERA_SD
    likely -= 0.5 * ((np.log(_BASES / base) ** 2)[:, None] + np.log(_SLOPES / slope) ** 2) / _PRIOR_LOG_SD**2
    best = np.unravel_index(int(likely.argmax()), likely.shape)
    return float(_BASES[best[0]] * _OTHER_SPECTRA), float(_SLOPES[best[1]] * _OTHER_SPECTRA)
