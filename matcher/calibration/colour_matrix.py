"""What lies between what a camera saw of a chart and what the chart is: white kept, fitted with restraint.

A white balance sets the light right and leaves what the camera's sensitivities and the lamp's spectrum do to single
colours. A linear map that leaves white alone has six free numbers; 24 patches can support them, with a lean to "no
correction" that a poor chart cannot pull far. Roots of products (see correction.py) are nine more, taken only where the
patches, each left out in turn, come nearer by them.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from matcher.calibration.correction import corrected, terms_of, unknown_camera_sd
from matcher.colorimetry.adaptation import FROM_BRADFORD, WHITE_CONES
from matcher.colorimetry.spaces import Floats, xyz_to_lab

# Assumptions: one-sigma of the free numbers over cameras and lamps, of responses and of roots (which do much by their
# differences), and of what no correction explains of a patch (dE00: print run, wear, a hint of gloss); patches further
# off than this many of those are taken for outliers.
_MATRIX_SD, _ROOT_SD = 0.12, 0.4
_PATCH_SD = 0.6
_OUTLIER = 2.0
# Chroma at which a patch counts half as much: walls, worktops and floors are muted.
_HALF_CHROMA = 60.0
_ROUNDS, _MORE_ROUNDS = 8, 3
_STEP = 1e-5
_LINEAR, _WITH_ROOTS = 3, 6
_ENOUGH_BETTER = (0.05, 0.02)  # what roots have to take off the linear map's error: part of it, and dE00
_FEWEST = 12
_DARKEST = 1e-4
# Chart patches are a small choice of all spectra: what a correction fitted to them leaves on others, over what it
# leaves on patches left out of the fit (measured spectra, two cameras, eight lamps: tests/calibration/
# test_colour_matrix.py).
_OTHER_SPECTRA = 1.3
_BASES = np.geomspace(0.3, 3.0, 24)
_SLOPES = np.geomspace(0.01, 0.2, 24)
_GREY_CHROMA = 5.0
_TAIL = 5.0  # degrees of freedom
_PRIOR_LOG_SD = 0.7  # of the logarithm of either number of the camera's error, about the unknown camera's


@dataclass(frozen=True, slots=True, eq=False)
class ColourFit:
    """``correction`` (3, 3) or (3, 6) as :func:`corrected` takes it; ``left_out`` (N, 3) CIELAB error of each patch
    when it is fitted without that patch; ``camera_sd`` one-sigma in Lab at grey and per unit of chroma.
    """

    correction: Floats
    left_out: Floats
    camera_sd: tuple[float, float]


def fit_matrix(seen: Floats, true: Floats) -> ColourFit | None:
    """Fit responses ``seen`` (N, 3) to ``true`` (N, 3), both relative to white; None for too few patches."""
    if len(seen) < _FEWEST:
        return None
    lab = _lab(true)
    linear, rooted = (_fit_and_leave_out(np.log(np.maximum(seen, _DARKEST)), lab, n) for n in (_LINEAR, _WITH_ROOTS))
    plain, with_roots = _error(linear[1], lab), _error(rooted[1], lab)
    part, least = _ENOUGH_BETTER
    correction, left_out = rooted if plain - with_roots > part * plain + least else linear
    return ColourFit(correction, left_out, _camera_sd(left_out, lab))


def _fit_and_leave_out(seen: Floats, lab: Floats, count: int) -> tuple[Floats, Floats]:
    """Return the correction with ``count`` terms and the error (N, 3) of each patch left out of it."""
    free = _fit(np.zeros((3, count)), seen, lab, _ROUNDS)
    everyone = np.arange(len(seen))
    left_out = np.empty_like(lab)
    for i in everyone:
        others = everyone != i
        without = _correction(_fit(free, seen[others], lab[others], _MORE_ROUNDS))
        left_out[i] = _lab(np.exp(corrected(seen[i], without))) - lab[i]
    return _correction(free), left_out


def _error(left_out: Floats, lab: Floats) -> float:
    """Return the mean error, differences as CIEDE2000 weighs them and muted patches as the fit does."""
    off = np.linalg.norm(np.einsum("nij,nj->ni", _difference_scale(lab), left_out), axis=1)
    return float(np.average(off, weights=_mutedness(lab)))


def _lab(cones: Floats) -> Floats:
    return xyz_to_lab((np.maximum(cones, _DARKEST) * WHITE_CONES) @ FROM_BRADFORD.T)


def _correction(free: Floats) -> Floats:
    """Return the weights of the terms: each response its own, but for what ``free`` (3, n) gives to the other terms."""
    return np.asarray(np.eye(*free.shape) + free - free.sum(axis=1, keepdims=True) * np.eye(*free.shape))


def _mutedness(lab: Floats) -> Floats:
    return np.asarray(1 / (1 + np.hypot(lab[:, 1], lab[:, 2]) / _HALF_CHROMA))


def _fit(free: Floats, seen: Floats, lab: Floats, rounds: int) -> Floats:
    """Return the most probable free numbers (3, n), starting from ``free``; ``seen`` (N, 3) are logarithms.

    By Gauss-Newton on differences scaled as CIEDE2000 does.
    """
    terms = terms_of(seen, free.shape[1])
    # What a free number moves: the response of its row, by its term's difference from that response.
    moves = terms[:, None] - terms[:, :3, None]
    others = np.eye(*free.shape) == 0
    scale, muted = _difference_scale(lab), _mutedness(lab)
    sd = np.where(np.arange(free.shape[1]) < _LINEAR, _MATRIX_SD, _ROOT_SD)
    lean = np.broadcast_to(sd**-2.0, free.shape)[others]
    for _ in range(rounds):
        cones = terms @ _correction(free).T
        base = _lab(cones)
        slopes = np.stack([(_lab(cones + _STEP * axis) - base) / _STEP for axis in np.eye(3)], axis=-1)
        residual = np.einsum("nij,nj->ni", scale, base - lab)
        jacobian = ((scale @ slopes)[..., None] * moves[:, None])[..., others]  # (N, 3, free numbers)
        size = np.linalg.norm(residual, axis=1) / (_OUTLIER * _PATCH_SD)
        weight = (muted / np.maximum(1.0, size) / _PATCH_SD**2)[:, None, None]
        flat, weighted = jacobian.reshape(-1, jacobian.shape[-1]), (jacobian * weight).reshape(-1, jacobian.shape[-1])
        normal = weighted.T @ flat + np.diag(lean)
        gradient = weighted.T @ residual.ravel() + lean * free[others]
        step = np.zeros_like(free)
        step[others] = np.linalg.solve(normal, gradient)
        free = free - step
    return free


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
    base, slope = unknown_camera_sd(1.0)
    likely -= 0.5 * ((np.log(_BASES / base) ** 2)[:, None] + np.log(_SLOPES / slope) ** 2) / _PRIOR_LOG_SD**2
    best = np.unravel_index(int(likely.argmax()), likely.shape)
    return float(_BASES[best[0]] * _OTHER_SPECTRA), float(_SLOPES[best[1]] * _OTHER_SPECTRA)
