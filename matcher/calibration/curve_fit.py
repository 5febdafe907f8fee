"""Fit the photo's tone curve from neutral patches of several reflectances, side by side.

At one place the light is one level a channel with a gentle slope; patches of known reflectance under it must stand
in the ratio of their reflectances. What they depart from it is the curve's doing: one curve for the whole photo,
levels free at each place.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from matcher.calibration.curve_prior import curve_without_scale
from matcher.calibration.patch import LEVELS, Patch
from matcher.calibration.tone_curve import (
    PRIOR_MEAN,
    PRIOR_SD,
    ToneCurve,
    is_monotone,
    known_curve,
    linear_table,
)
from matcher.colorimetry.spaces import Floats
from matcher.photo.model import ColourSpace

# Assumptions: relative error of a patch's light that is not pixel noise (gloss, tilt, a card that is not quite the
# reflectance printed on it), and what stray light in the lens adds on a black patch.
_PATCH_ERROR = 0.02
_STRAY_LIGHT = 0.001
_ITERATIONS = 8
_STEP = 1e-3
_SMALLEST_STEP = 1e-4
_FREE_LEVEL = 10.0  # sigma of the logarithm of a place's level: as good as unknown
# Quantisation of the file value, as a one-sigma in file values after averaging over noisy pixels (assumption).
_QUANTUM = 0.3 / 255
_DISPLAY_GAMMA = 2.2
# Assumption: the light's slope seen inside the patches is known this well when carried from patch to patch.
_SLOPE_ERROR = 0.3
_NEIGHBOUR_EXTENTS = 3.0
_RGB = np.eye(3)


def places(patches: Sequence[Patch]) -> list[list[int]]:
    """Group patch indices by place: the surface they lie on, or nearness where that is not said."""
    groups: dict[str, list[int]] = {}
    loose: list[list[int]] = []
    for index, patch in enumerate(patches):
        if patch.on is not None:
            groups.setdefault(patch.on, []).append(index)
            continue
        near = [g for g in loose if any(adjacent(patch, patches[i]) for i in g)]
        merged = [index, *(i for g in near for i in g)]
        loose = [g for g in loose if g not in near] + [sorted(merged)]
    return [*groups.values(), *loose]


def fit_tone_curve(patches: Sequence[Patch], space: ColourSpace, believed: ToneCurve | None = None) -> ToneCurve:
    """Return the curve that makes neighbouring patches stand in the ratio of their reflectances.

    Without two usable patches of different reflectance at one place this is what is ``believed``, by default the prior
    over curves. Where the file has no curve of a camera's, as camera raw, there is nothing to fit.
    """
    if space.tone_known:
        return known_curve()
    usable = [p for p in patches if p.usable]
    groups = [g for g in places(usable) if len({usable[i].reflectance for i in g}) > 1]
    if not groups:
        return curve_without_scale(usable, space, believed)
    members = [usable[i] for g in groups for i in g]
    whiten, explained = _whitening(groups, usable)
    precision = np.diag(PRIOR_SD**-2.0)
    strength = PRIOR_MEAN.copy()
    for _ in range(_ITERATIONS):
        base = _departure(strength, members, space)
        residual = whiten @ (base - explained)
        jacobian = np.column_stack(
            [whiten @ (_departure(strength + _STEP * axis, members, space) - base) / _STEP for axis in np.eye(3)]
        )
        gradient = jacobian.T @ residual + precision @ (strength - PRIOR_MEAN)
        step = np.linalg.solve(jacobian.T @ jacobian + precision, gradient)
        while not is_monotone(strength - step) and np.abs(step).max() > _SMALLEST_STEP:
            step = step / 2
        strength = strength - step
        if np.abs(step).max() < _SMALLEST_STEP:
            break
    covariance = np.linalg.inv(jacobian.T @ jacobian + precision)
    degrees = max(1, 3 * (len(members) - len(groups)) - 3)
    excess = max(1.0, float(residual @ residual) / degrees)  # a poor fit is not believed more than it fits
    return ToneCurve(strength, covariance * excess, len(members) - len(groups))


def adjacent(a: Patch, b: Patch) -> bool:
    """Tell whether two patches lie so near each other that one light falls on both."""
    return bool(np.linalg.norm(a.centre - b.centre) < _NEIGHBOUR_EXTENTS * max(a.extent, b.extent))


def _departure(strength: Floats, members: Sequence[Patch], space: ColourSpace) -> Floats:
    """Return (patches * 3,) logarithm of the level each patch and channel claims under this curve."""
    table = linear_table(strength, space, LEVELS)
    levels = [np.log(np.maximum(p.linear(table), 1e-6) / p.reflected(_RGB)) for p in members]
    return np.concatenate(levels)


def _whitening(groups: Sequence[Sequence[int]], patches: Sequence[Patch]) -> tuple[Floats, Floats]:
    """Return the matrix that whitens the departures, and the departure that the light's slope explains beforehand.

    A place's free level and the doubt about its slope are covariance: what they could explain weighs nothing.
    """
    total = 3 * sum(len(g) for g in groups)
    covariance = np.zeros((total, total))
    explained = np.zeros(total)
    start = 0
    for group in groups:
        members = [patches[i] for i in group]
        centre = np.mean([p.centre for p in members], axis=0)
        offsets = np.repeat([p.centre - centre for p in members], 3, axis=0)
        slope, slope_sd = shared_slope(members)
        error = np.concatenate([_relative_error(p) for p in members])
        levels = np.tile(np.eye(3), (len(members), 1))
        level = np.repeat(np.diag([p.level_sd**2 for p in members]), 3, axis=0).repeat(3, axis=1)
        block = np.diag(error**2) + level + _FREE_LEVEL**2 * levels @ levels.T + slope_sd**2 * offsets @ offsets.T
        stop = start + len(error)
        covariance[start:stop, start:stop] = block
        explained[start:stop] = offsets @ slope
        start = stop
    whiten: Floats = np.linalg.inv(np.linalg.cholesky(covariance))
    return whiten, explained


def shared_slope(members: Sequence[Patch]) -> tuple[Floats, float]:
    """Return the slope (2,) of the logarithm of light at a place, from the inside of its patches, and its sigma."""
    weights = np.array([1 / max(p.slope_sd, 1e-9) ** 2 for p in members])
    slope = (weights[:, None] * np.stack([p.slope for p in members])).sum(axis=0) / weights.sum()
    return slope, float(np.hypot(weights.sum() ** -0.5, _SLOPE_ERROR * np.linalg.norm(slope)))


def _relative_error(patch: Patch) -> Floats:
    """Return (3,) relative one-sigma of a patch's light."""
    value = np.maximum(patch.histograms @ np.arange(LEVELS) / patch.histograms.sum(axis=1) / (LEVELS - 1), 1 / LEVELS)
    noise = _DISPLAY_GAMMA * np.hypot(_QUANTUM, patch.noise / np.sqrt(patch.histograms.sum(axis=1))) / value
    error: Floats = np.sqrt(_PATCH_ERROR**2 + noise**2 + (_STRAY_LIGHT / patch.reflectance) ** 2 + patch.colour_sd**2)
    return error
