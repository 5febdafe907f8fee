"""What lies between what a camera saw of a chart and what the chart is: white kept, fitted with restraint.

A white balance sets the light right and leaves what the camera's sensitivities and the lamp's spectrum do to single
colours. Weights of the responses, of roots of their products and of a constant (correction.py) take it out: eighteen
free numbers, which lean to how cameras under lamps turned out to err (camera_prior.py), so that 24 patches support
them. The constant is stray light, which lay over the cards that told the light too.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from matcher.calibration.camera_prior import weights_prior
from matcher.calibration.correction import corrected, moved_terms, stray_light, terms_of, unknown_camera_sd
from matcher.calibration.light import brightened
from matcher.colorimetry.adaptation import BRADFORD, FROM_BRADFORD, WHITE_CONES
from matcher.colorimetry.spaces import Floats, xyz_to_lab

# Assumptions: one-sigma of what no correction explains of a patch (dE00: print run, wear, a hint of gloss); patches
# further off than this many of those are taken for outliers.
_PATCH_SD = 0.6
_OUTLIER = 2.0
# Chroma at which a patch counts half as much: walls, worktops and floors are muted.
_HALF_CHROMA = 60.0
_ROUNDS, _MORE_ROUNDS = 8, 3
_STEP = 1e-5
_FEWEST = 12
_WHITE: Floats = np.ones((1, 3))
_DARKEST = 1e-4
# Chart patches are a small choice of all spectra: what a correction fitted to them leaves on others, over what it
# leaves on patches left out of the fit (measured spectra, two cameras, eight lamps: tests/calibration/
# test_colour_matrix.py; on chips: tests.benchmarks.chips).
_OTHER_SPECTRA = 1.4
_BASES = np.geomspace(0.3, 3.0, 24)
_SLOPES = np.geomspace(0.01, 0.2, 24)
_GREY_CHROMA = 5.0
_TAIL = 5.0  # degrees of freedom
_PRIOR_LOG_SD = 0.7  # of the logarithm of either number of the camera's error, about the unknown camera's


@dataclass(frozen=True, slots=True, eq=False)
class ColourFit:
    """``correction`` (3, 7) as :func:`corrected` takes it, for responses under a light that allows for its stray light;
    ``left_out`` (N, 3) CIELAB error of each patch when it is fitted without that patch; ``camera_sd`` one-sigma in Lab
    at grey and per unit of chroma.
    """

    correction: Floats
    left_out: Floats
    camera_sd: tuple[float, float]


def fit_matrix(seen: Floats, true: Floats, told_by: Floats = _WHITE) -> ColourFit | None:
    """Fit responses ``seen`` (N, 3) to ``true`` (N, 3), both relative to white; None for too few patches.

    ``told_by`` (K, 3) is what the cards reflect of white by which the light was told.
    """
    if len(seen) < _FEWEST:
        return None
    seen, lab = np.log(np.maximum(seen, _DARKEST)), _lab(true)
    mean, _ = weights_prior()
    everyone, others = np.ones((1, len(seen))), 1 - np.eye(len(seen))
    free = _fit(mean[None], seen, lab, told_by, everyone, _ROUNDS)
    without = _fit(free.repeat(len(seen), axis=0), seen, lab, told_by, others, _MORE_ROUNDS)
    found = [
        corrected(one + _relit(told_by, correction), correction)
        for one, correction in zip(seen, _corrections(without), strict=True)
    ]
    left_out = _lab(np.exp(np.stack(found))) - lab
    return ColourFit(_corrections(free)[0], left_out, _camera_sd(left_out, lab))


def relative_cones(xyz: Floats) -> Floats:
    """Return cone responses (N, 3) relative to white of XYZ under D65 (N, 3), white Y = 1."""
    return np.asarray(xyz @ BRADFORD.T / WHITE_CONES)


def _lab(cones: Floats) -> Floats:
    return xyz_to_lab((np.maximum(cones, _DARKEST) * WHITE_CONES) @ FROM_BRADFORD.T)


def _corrections(free: Floats) -> Floats:
    """Return the weights of the terms: each response its own, but for what ``free`` (B, 3, 7) gives to the others."""
    return np.asarray(free + np.eye(*free.shape[1:]) * (1 - free.sum(axis=-1, keepdims=True)))


def _relit(told_by: Floats, correction: Floats) -> Floats:
    """Return (3,) what its stray light adds to the logarithm of responses under the light as it was told."""
    return np.asarray(brightened(told_by, stray_light(correction)).mean(axis=0))


def _mutedness(lab: Floats) -> Floats:
    return np.asarray(1 / (1 + np.hypot(lab[:, 1], lab[:, 2]) / _HALF_CHROMA))


def _fit(free: Floats, seen: Floats, lab: Floats, told_by: Floats, counted: Floats, rounds: int) -> Floats:
    """Return the most probable free numbers (B, 3, 7) where only some patches count, as ``counted`` (B, N) by 1 and 0.

    By Gauss-Newton on differences scaled as CIEDE2000 does, starting from ``free``, whose diagonals are 0; ``seen``
    (N, 3) are logarithms.
    """
    mean, covariance = weights_prior()
    others = np.eye(*mean.shape) == 0
    lean = np.linalg.inv(covariance[np.ix_(others.ravel(), others.ravel())])
    scale, muted = _difference_scale(lab), _mutedness(lab)
    for _ in range(rounds):
        corrections = _corrections(free)
        relit = np.stack([seen + _relit(told_by, each) for each in corrections])
        terms = terms_of(relit, free.shape[-1])  # (B, N, 7)
        cones = terms @ corrections.swapaxes(1, 2)
        base = _lab(cones)
        slopes = scale @ np.stack([(_lab(cones + _STEP * axis) - base) / _STEP for axis in np.eye(3)], axis=-1)
        # What a free number moves: the response of its row, by its term's difference from that response; and stray
        # light what the cards tell of the light, so all terms.
        jacobian = slopes[..., None] * (terms[:, :, None] - terms[:, :, :3, None])[:, :, None]
        jacobian[..., -1] += slopes @ (moved_terms(terms, corrections) * _relighting(told_by, corrections))
        jacobian = jacobian[..., others]  # (B, N, 3, free numbers)
        residual = (scale @ (base - lab)[..., None])[..., 0]
        size = np.linalg.norm(residual, axis=-1) / (_OUTLIER * _PATCH_SD)
        weight = np.repeat(counted * muted / np.maximum(1.0, size) / _PATCH_SD**2, 3, axis=1)[..., None]
        flat = jacobian.reshape(len(free), -1, jacobian.shape[-1])
        weighted = (flat * weight).swapaxes(1, 2)
        gradient = weighted @ residual.reshape(len(free), -1, 1) + lean @ (free - mean)[:, others, None]
        free = free.copy()
        free[:, others] -= np.linalg.solve(weighted @ flat + lean, gradient)[..., 0]
    return free


def _relighting(told_by: Floats, corrections: Floats) -> Floats:
    """Return (B, 1, 1, 3) how the light moves with the weight of the constant, by which stray light is taken out."""
    stray = -corrections[:, None, :, -1]  # (B, 1, 3)
    return np.asarray((1 / (1 + stray) - 1 / np.maximum(told_by + stray, _DARKEST)).mean(axis=1)[:, None, None])


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
