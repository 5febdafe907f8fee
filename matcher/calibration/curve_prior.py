"""What is believed of a photo's tone curve before its cards speak, and where they cannot: one reflectance only.

A file holds either what the standard says (developed raw without contrast, a scan, a picture that a program made) or
what a camera makes of a scene for the eye. Two things speak even without a scale of greys: nothing that lies beside a
card reflects more light than white paint does, so a curve under which it would is the wrong one; and a lamp's colour
left standing in the card tells of a room by lamp light, where phones were seen to add contrast.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from matcher.calibration.lamp import warmth_left
from matcher.calibration.patch import BLACK_REFLECTANCE, LEVELS, Patch
from matcher.calibration.tone_curve import TONES, ToneCurve, linear_table, smooth_covariance
from matcher.colorimetry.normal import even_normals, normal_below
from matcher.colorimetry.spaces import Floats
from matcher.photo.decoded import ColourSpace


@dataclass(frozen=True, slots=True, eq=False)
class Belief:
    """One kind of curve: normal with ``mean`` (5,) and ``covariance`` (5, 5) of its strengths, and its ``chance``."""

    mean: Floats
    covariance: Floats
    chance: float


# Camera curves. Mean and covariance over cameras of what the grey rows of charts show of the strengths (14 photographs
# by six cameras: phones, a light box, cabinets, a copy stand; each camera weighs one), together with the mean of 201
# measured response functions (Grossberg & Nayar 2004, IEEE TPAMI 26(10):1272-1282), which weighs two. The two agree
# within 0.05 at the middle tones and differ by 0.3 at the darkest, which the covariance holds.
_CAMERA_MEAN: Floats = np.array([-0.25, -0.50, -0.36, -0.02, 0.30])
_CAMERA_COVARIANCE: Floats = np.array(
    [
        [0.13, -0.04, 0.01, -0.06, -0.05],
        [-0.04, 0.08, 0.02, 0.08, 0.06],
        [0.01, 0.02, 0.07, 0.05, 0.09],
        [-0.06, 0.08, 0.05, 0.22, 0.17],
        [-0.05, 0.06, 0.09, 0.17, 0.34],
    ]
)
# Plain curves: four developed raws without contrast have strengths of 0.04 at the mean, 0.05 within one sigma.
_PLAIN_SD, _PLAIN_SPAN = 0.05, 0.25
"""What plain files scatter by."""

# The standard's values with contrast added on top, as programs and some cameras do: u + k (3 u^2 - 2 u^3 - u) for k of
# 0.5 +- 0.3, which moves the strengths along this: within 4 % of light at k of 0.4 and 9 % at 0.6, the rest is scatter
# (the range is an assumption; common practice of graphics, no published source).
_CONTRAST: Floats = np.array([-0.15, -0.52, -0.45, -0.24, 0.39])
_ADDED, _ADDED_SD = 0.5, 0.3
# Veiled: light scattered in the lens lies over all of the picture, v of the linear value of white. So a plain file's
# light is u - v, and d ln(u - v) / d ln u = u / (u - v): as v runs from 0.004 to 0.03, strengths move from the first of
# these by one sigma of the second. What else the camera did is in the scatter (assumption). A small chart in dim light
# showed v of 0.027.
_VEILED_MEAN: Floats = np.array([1.7, 0.28, 0.07, 0.02, 0.0])
_VEIL: Floats = np.array([0.7, 0.20, 0.05, 0.02, 0.0])
_VEILED_SCATTER = 0.12
# What files are that are not plain: a camera's, with contrast added, veiled (assumption).
_SHARES = (0.6, 0.3, 0.1)

NOT_PLAIN = 0.6
"""Assumption: the chance beforehand that a file is not plain, where a scale of greys decides."""

# Assumption: the lightest surfaces of a home, white paint and white tile, reflect about this much; the second number is
# how far a reading beside the card may be out (logarithm of light: tilt, bounce, the card's own print).
_WHITEST, _WHITEST_SD = 0.9, 0.06

# Assumption: how likely the file is not plain, by the warmth (red over blue, logarithm) left in the card. Near neutral
# it is taken at its word. Partly balanced lamp light: 7 of 10 rendered practice photos had contrast added, real ones
# were seen without. A lamp's whole colour left standing: developed without touching it (four real photographs, none had
# contrast added).
_WARMTHS, _NOT_PLAIN_CHANCES = (0.26, 0.61, 1.12, 1.22), (0.05, 0.6, 0.6, 0.05)
# The stated doubt does not take it at its word: it is at least as wide as if added contrast were this likely.
_DOUBTED_CHANCE = 0.3

_SAMPLES = 256
_RIDGE = 1e-9


def beliefs(not_plain: float) -> tuple[Belief, ...]:
    """Return the kinds of curve, plain ones first; ``not_plain`` is the chance of all others."""
    scatter = smooth_covariance(_PLAIN_SD, _PLAIN_SPAN)
    camera, added, veiled = (not_plain * share for share in _SHARES)
    return (
        Belief(np.zeros(len(TONES)), scatter, 1 - not_plain),
        Belief(_CAMERA_MEAN, _CAMERA_COVARIANCE, camera),
        Belief(_ADDED * _CONTRAST, scatter + _ADDED_SD**2 * np.outer(_CONTRAST, _CONTRAST), added),
        Belief(_VEILED_MEAN, smooth_covariance(_VEILED_SCATTER, _PLAIN_SPAN) + np.outer(_VEIL, _VEIL), veiled),
    )


def mixed(several: Sequence[Belief]) -> tuple[Floats, Floats]:
    """Return mean (5,) and covariance (5, 5) of curves that are one of ``several``."""
    chances = np.array([each.chance for each in several]) / sum(each.chance for each in several)
    mean = chances @ np.stack([each.mean for each in several])
    within = np.tensordot(chances, np.stack([each.covariance for each in several]), axes=1)
    off = np.stack([each.mean for each in several]) - mean
    return mean, np.asarray(within + (off.T * chances) @ off)


def curve_without_scale(patches: Sequence[Patch], space: ColourSpace, believed: ToneCurve | None = None) -> ToneCurve:
    """Return what ``patches`` of one reflectance leave to be believed of the curve.

    ``believed`` is what other photos of the same camera tell; without them it is what is known of cameras.
    """
    bounding = _bounding(patches)
    if believed is not None:
        if not bounding:
            return believed
        held = bounded(Belief(believed.strength, believed.covariance, 1.0), bounding, space)
        return ToneCurve(held.mean, held.covariance, 0)
    warmth = warmth_left(patches, space) if patches else 0.0
    not_plain = float(np.interp(warmth, _WARMTHS, _NOT_PLAIN_CHANCES))
    kinds = [replace(each, chance=1.0) for each in beliefs(not_plain)]
    if bounding:
        kinds = [_bounded(each, bounding, space, _kind_sampled(kind, space)) for kind, each in enumerate(kinds)]
    mean, _ = mixed(_by_chance(kinds, not_plain))
    middle, covariance = mixed(_by_chance(kinds, max(not_plain, _DOUBTED_CHANCE)))
    return ToneCurve(mean, covariance + np.outer(middle - mean, middle - mean), 0)


def _by_chance(kinds: Sequence[Belief], not_plain: float) -> list[Belief]:
    """Return what is left of each kind of curve, its chance that of the kind times what is left of it."""
    return [
        replace(left, chance=left.chance * kind.chance) for left, kind in zip(kinds, beliefs(not_plain), strict=True)
    ]


def bounded(belief: Belief, patches: Sequence[Patch], space: ColourSpace) -> Belief:
    """Return the belief that is left of one when what lies beside ``patches`` is no lighter than white."""
    bounding = _bounding(patches)
    return _bounded(belief, bounding, space, _sampled(belief, space)) if bounding else belief


def _bounding(patches: Sequence[Patch]) -> list[Patch]:
    return [p for p in patches if p.reflectance > BLACK_REFLECTANCE and np.isfinite(p.beside).all()]


@dataclass(frozen=True, slots=True, eq=False)
class _Sampled:
    """Curves that a belief holds possible: ``strengths`` (N, 5), and the linear light of each file value under them,
    ``tables`` (N, 256).
    """

    strengths: Floats
    tables: Floats


def _sampled(belief: Belief, space: ColourSpace) -> _Sampled:
    root = np.linalg.cholesky(belief.covariance + _RIDGE * np.eye(len(TONES)))
    strengths = belief.mean + _standard_samples() @ root.T
    return _Sampled(strengths, linear_table(strengths, space, LEVELS))


@lru_cache(maxsize=8)
def _kind_sampled(kind: int, space: ColourSpace) -> _Sampled:
    """Return the samples of one of the kinds of curve, in the order of :func:`beliefs`: its chance has no say."""
    return _sampled(beliefs(NOT_PLAIN)[kind], space)


def _bounded(belief: Belief, bounding: Sequence[Patch], space: ColourSpace, sampled: _Sampled) -> Belief:
    strengths, tables = sampled.strengths, sampled.tables
    brightest = np.zeros(len(strengths))
    for patch in bounding:
        light = np.maximum(patch.linear(tables) / patch.reflected(np.eye(3)), 1e-6)
        beside = np.stack([tables[:, int(value)] for value in patch.beside], axis=1)
        # What two cards show of it may be one surface: the strongest bound counts, and counts once.
        brightest = np.maximum(brightest, beside / light @ space.to_xyz[1])
    allowed = np.maximum(normal_below(np.log(_WHITEST / np.maximum(brightest, 1e-6)) / _WHITEST_SD), 1e-12)
    weights = allowed / allowed.sum()
    mean = weights @ strengths
    covariance = ((strengths - mean).T * weights) @ (strengths - mean) + _RIDGE * np.eye(len(TONES))
    return Belief(mean, np.asarray(covariance), belief.chance * float(allowed.mean()))


@lru_cache(maxsize=1)
def _standard_samples() -> Floats:
    """Return (N, 5) samples of the standard normal, the same every time, with mean 0 and covariance 1 exactly."""
    both = even_normals(_SAMPLES, np.full(len(TONES), 0.5))
    root = np.linalg.cholesky(both.T @ both / len(both))
    return np.asarray(np.linalg.solve(root, both.T).T)
