"""What is believed of a photo's tone curve where its cards cannot tell: grey alone, or one reflectance only.

A file holds either what the standard says or a picture with contrast added, an S. Two things speak even without a scale
of greys: nothing that lies beside a card reflects more light than white paint does, so a curve under which it would is
the wrong one; and a lamp's colour left standing in the card tells of a room by lamp light, where phones were seen to
add contrast.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from scipy.special import ndtr

from matcher.calibration.lamp import warmth_left
from matcher.calibration.patch import LEVELS, Patch
from matcher.calibration.tone_curve import PRIOR_SD, ToneCurve, linear_table
from matcher.colorimetry.spaces import Floats
from matcher.photo.model import ColourSpace

# Assumptions: strength of the S and its one-sigma, of files that follow the standard and of files with contrast added.
_PLAIN, _PLAIN_SD = 0.0, 0.03
_ADDED, _ADDED_SD = 0.3, 0.12

# Assumption: the lightest surfaces of a home, white paint and white tile, reflect about this much; the second number is
# how far a reading beside the card may be out (logarithm of light: tilt, bounce, the card's own print).
_WHITEST, _WHITEST_SD = 0.9, 0.06

# Assumption: how likely added contrast is, by the warmth (red over blue, logarithm) left in the card. Near neutral the
# file is taken at its word. Partly balanced lamp light: 7 of 10 rendered practice photos had contrast added, real ones
# were seen without. A lamp's whole colour left standing: developed without touching it (four real photographs, none had
# contrast added).
_WARMTHS, _ADDED_CHANCES = (0.26, 0.61, 1.12, 1.22), (0.05, 0.5, 0.5, 0.05)
# The stated doubt does not take it at its word: it is at least as wide as if added contrast were this likely.
_DOUBTED_CHANCE = 0.3

_STRENGTHS = np.linspace(-0.1, 0.7, 33)
_SHAPE = np.array([1.0, 0.0, 0.0])


def curve_without_scale(patches: Sequence[Patch], space: ColourSpace, believed: ToneCurve | None = None) -> ToneCurve:
    """Return what ``patches`` of one reflectance (at least one) leave to be believed of the curve.

    ``believed`` is what other photos of the same camera tell; without them it is what is known of cameras. Only the
    strength of the S moves: one bound has nothing to say of the other two shapes.
    """
    if not patches:
        return believed or ToneCurve(np.zeros(3), np.diag(PRIOR_SD**2), 0)
    if believed is None:
        start: Floats = np.zeros(3)
        covariance: Floats = np.diag(PRIOR_SD**2)
        chance = float(np.interp(warmth_left(patches, space), _WARMTHS, _ADDED_CHANCES))
        likely, doubted = _belief(chance), _belief(max(chance, _DOUBTED_CHANCE))
    else:
        start, covariance = believed.strength, believed.covariance
        likely = doubted = _normal(start[0], float(np.sqrt(covariance[0, 0])))
    allowed = _allowed(start, patches, space)
    strength = start.copy()
    strength[0] = _mean(likely * allowed, _STRENGTHS)
    sd = float(np.sqrt(_mean(doubted * allowed, (_STRENGTHS - strength[0]) ** 2)))
    scale = np.where(_SHAPE > 0, sd / np.sqrt(covariance[0, 0]), 1.0)
    return ToneCurve(strength, covariance * np.outer(scale, scale), 0)


def _belief(added: float) -> Floats:
    return (1 - added) * _normal(_PLAIN, _PLAIN_SD) + added * _normal(_ADDED, _ADDED_SD)


def _normal(mean: float, sd: float) -> Floats:
    weights: Floats = np.exp(-0.5 * ((_STRENGTHS - mean) / sd) ** 2) / sd
    return weights


def _mean(weights: Floats, values: Floats) -> float:
    return float(weights @ values / weights.sum())


def _allowed(start: Floats, patches: Sequence[Patch], space: ColourSpace) -> Floats:
    """Return how well each strength keeps what lies beside the patches from being lighter than white."""
    tables = _tables(tuple(start[1:].tolist()), space)
    allowed = np.ones(len(_STRENGTHS))
    for patch in patches:
        if np.isfinite(patch.beside).all():
            light = np.maximum(patch.linear(tables) / patch.reflectance, 1e-6)
            beside = np.stack([tables[:, int(value)] for value in patch.beside], axis=1)
            factor = np.maximum(beside / light @ space.to_xyz[1], 1e-6)
            allowed *= np.maximum(ndtr(np.log(_WHITEST / factor) / _WHITEST_SD), 1e-12)
    return allowed


@lru_cache(maxsize=8)
def _tables(others: tuple[float, ...], space: ColourSpace) -> Floats:
    """Return (T, 256) decode tables of all strengths; most photos share one colour space."""
    return np.stack([linear_table(np.array([s, *others]), space, LEVELS) for s in _STRENGTHS])
