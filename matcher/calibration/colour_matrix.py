"""What lies between what a camera saw of a chart and what the chart is: white kept, fitted with restraint.

A white balance sets the light right and leaves what the camera's sensitivities and the lamp's spectrum do to single
colours. Weights of the responses, of roots of their products and of a constant (correction.py) take it out: eighteen
free numbers, which lean to how cameras under lamps turned out to err (camera_prior.py), so that 24 patches support
them. The constant is stray light, which lay over the cards that told the light too. With them goes the share of the
tone curve that lies on luminance (on_luminance.py), which only colours tell.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from matcher.calibration.camera_prior import weights_prior
from matcher.calibration.correction import corrected, moved_terms, stray_light, terms_of, unknown_camera_sd
from matcher.calibration.light import brightened
from matcher.colorimetry.adaptation import FROM_BRADFORD, WHITE_CONES
from matcher.colorimetry.spaces import Floats, xyz_to_lab

# Assumptions: one-sigma of what no correction explains of a patch (dE00: print run, wear, a hint of gloss); patches
# further off than this many of those are taken for outliers.
_PATCH_SD = 0.6
_OUTLIER = 2.0
# Of the tone curve's share on luminance, about 0: most cameras put it on channels, some on neither alone (assumption;
# charts in photographs showed 0 to 0.6).
_SHARE_SD = 0.5
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
    ``on_luminance`` the share of the tone curve that lies there, 0..1; ``left_out`` (N, 3) CIELAB error of each patch
    when it is fitted without that patch; ``camera_sd`` one-sigma in Lab at grey and per unit of chroma.
    """

    correction: Floats
    on_luminance: float
    left_out: Floats
    camera_sd: tuple[float, float]


def fit_matrix(seen: Floats, true: Floats, told_by: Floats = _WHITE, bent: Floats | None = None) -> ColourFit | None:
    """Fit responses ``seen`` (N, 3) to ``true`` (N, 3), both relative to white; None for too few patches.

    ``told_by`` (K, 3) is what the cards reflect of white by which the light was told, ``bent`` (N, 3) how the logarithm
    of what is seen changes with the share of the tone curve that lies on luminance; without it there is none.
    """
    if len(seen) < _FEWEST:
        return None
    chart = _Chart(
        seen=np.log(np.maximum(seen, _DARKEST)),
        lab=_lab(true),
        told_by=told_by,
        bent=np.zeros_like(seen) if bent is None else bent,
    )
    mean, _ = weights_prior()
    everyone, others = np.ones((1, len(seen))), 1 - np.eye(len(seen))
    free, share = _fit(mean[None], np.zeros(1), chart, everyone, _ROUNDS)
    without, shares = _fit(free.repeat(len(seen), axis=0), share.repeat(len(seen)), chart, others, _MORE_ROUNDS)
    corrections = _corrections(without)
    itself = np.diagonal(chart.relit(corrections, shares)).T
    found = [corrected(one, correction) for one, correction in zip(itself, corrections, strict=True)]
    left_out = _lab(np.exp(np.stack(found))) - chart.lab
    return ColourFit(_corrections(free)[0], float(share[0]), left_out, _camera_sd(left_out, chart.lab))


@dataclass(frozen=True, slots=True, eq=False)
class _Chart:
    """``seen`` (N, 3) logarithms of responses and ``lab`` (N, 3) what they should be; ``told_by`` (K, 3) and ``bent``
    (N, 3) as for :func:`fit_matrix`.
    """

    seen: Floats
    lab: Floats
    told_by: Floats
    bent: Floats

    def relit(self, corrections: Floats, shares: Floats) -> Floats:
        """Return (B, N, 3) what is seen with ``shares`` (B,) of the curve on luminance, under the light that is left
        when the stray light that ``corrections`` (B, 3, 7) tell of is out of the cards.
        """
        light = np.stack([brightened(self.told_by, stray_light(each)).mean(axis=0) for each in corrections])
        return np.asarray(self.seen + shares[:, None, None] * self.bent + light[:, None])

    def relighting(self, corrections: Floats) -> Floats:
        """Return (B, 1, 1, 3) how that light moves with the weights of the constant."""
        stray = -corrections[:, None, :, -1]  # (B, 1, 3)
        each = 1 / (1 + stray) - 1 / np.maximum(self.told_by + stray, _DARKEST)
        return np.asarray(each.mean(axis=1)[:, None, None])


def _lab(cones: Floats) -> Floats:
    return xyz_to_lab((np.maximum(cones, _DARKEST) * WHITE_CONES) @ FROM_BRADFORD.T)


def _corrections(free: Floats) -> Floats:
    """Return the weights of the terms: each response its own, but for what ``free`` (B, 3, 7) gives to the others."""
    return np.asarray(free + np.eye(*free.shape[1:]) * (1 - free.sum(axis=-1, keepdims=True)))


def _mutedness(lab: Floats) -> Floats:
    return np.asarray(1 / (1 + np.hypot(lab[:, 1], lab[:, 2]) / _HALF_CHROMA))


def _fit(free: Floats, share: Floats, chart: _Chart, counted: Floats, rounds: int) -> tuple[Floats, Floats]:
    """Return the most probable free numbers (B, 3, 7) and shares of the curve on luminance (B,) where only some patches
    count, as ``counted`` (B, N) by 1 and 0.

    By Gauss-Newton on differences scaled as CIEDE2000 does, starting from ``free``, whose diagonals are 0, and
    ``share``.
    """
    mean, covariance = weights_prior()
    others = np.eye(*mean.shape) == 0
    lean = np.pad(np.linalg.inv(covariance[np.ix_(others.ravel(), others.ravel())]), (0, 1))
    lean[-1, -1] = _SHARE_SD**-2
    believed = np.append(mean[others], 0.0)
    scale, muted = _difference_scale(chart.lab), _mutedness(chart.lab)
    numbers = np.concatenate([free[:, others], share[:, None]], axis=1)
    for _ in range(rounds):
        corrections = _corrections(free)
        terms = terms_of(chart.relit(corrections, numbers[:, -1]), free.shape[-1])  # (B, N, 7)
        cones = terms @ corrections.swapaxes(1, 2)
        base = _lab(cones)
        slopes = scale @ np.stack([(_lab(cones + _STEP * axis) - base) / _STEP for axis in np.eye(3)], axis=-1)
        # What a free number moves: the response of its row, by its term's difference from that response; and stray
        # light what the cards tell of the light, so all terms.
        jacobian = slopes[..., None] * (terms[:, :, None] - terms[:, :, :3, None])[:, :, None]
        by_response = slopes @ moved_terms(terms, corrections)
        jacobian[..., -1] += by_response * chart.relighting(corrections)
        bending = by_response @ chart.bent[..., None]
        flat = np.concatenate([jacobian[..., others], bending], axis=-1).reshape(len(free), -1, numbers.shape[1])
        residual = (scale @ (base - chart.lab)[..., None])[..., 0]
        size = np.linalg.norm(residual, axis=-1) / (_OUTLIER * _PATCH_SD)
        weight = np.repeat(counted * muted / np.maximum(1.0, size) / _PATCH_SD**2, 3, axis=1)[..., None]
        weighted = (flat * weight).swapaxes(1, 2)
        normal = weighted @ flat + lean
        gradient = weighted @ residual.reshape(len(free), -1, 1) + lean @ (numbers - believed)[..., None]
        step = np.linalg.solve(normal, gradient)[..., 0]
        # A share beyond its ends stays there, and the rest is solved with it.
        end = np.clip(numbers[:, -1] - step[:, -1], 0.0, 1.0)
        by_share = normal[:, :-1, -1:] * (numbers[:, -1] - end)[:, None, None]
        step = np.linalg.solve(normal[:, :-1, :-1], gradient[:, :-1] - by_share)[..., 0]
        numbers = np.concatenate([numbers[:, :-1] - step, end[:, None]], axis=1)
        free = free.copy()
        free[:, others] = numbers[:, :-1]
    return free, numbers[:, -1]


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
