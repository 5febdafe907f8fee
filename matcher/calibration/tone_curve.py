"""The camera's tone curve: what a phone does to a picture on top of the standard encoding, and how to undo it.

A file value decodes by its colour space to plain light u. The light L that fell on the sensor follows from

    d ln L / d ln u = exp(strength)

where the strength runs linearly between five file values: 0 is a plain curve, below 0 the camera added contrast there,
above 0 it took some away, as at the soft ends of its curve. So the curve rises whatever the strengths are. The level of
light is free wherever a card tells it: only ratios matter.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from matcher.colorimetry.spaces import Floats
from matcher.photo.decoded import ColourSpace

# File values 0..1 at which the strength is free; below the first it stays, above the last it goes on. Black cards lie
# near the first, grey ones about the middle, white ones at the last two. Curves of published form are followed to 2 %
# of light (tests/calibration/test_curve_family.py), so are the mean and the first three components of 201 measured
# response functions (Grossberg & Nayar 2004, IEEE TPAMI 26(10):1272-1282; tests/benchmarks/curve_family.py).
TONES: Floats = np.array([0.08, 0.3, 0.5, 0.7, 0.9])

# How far one phone's curve moves from scene to scene, one-sigma of each strength and the span of file values over which
# it moves as one: fitted alone, seven photographs of one phone spread by 0.11, 0.11, 0.16, 0.18 and 0.12.
SCENE_SD, _SCENE_SPAN = 0.15, 0.3

_KNOWN_SD = 2e-3  # assumption: what is left of a curve in a file that states it has none
_DARKEST = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class ToneCurve:
    """``strength`` (5,) at the :data:`TONES` and its ``covariance`` (5, 5); ``evidence`` counts the patch ratios behind
    it; ``misfit`` is one-sigma of the logarithm of light by which patches miss it beyond their usual error.
    """

    strength: Floats
    covariance: Floats
    evidence: int
    misfit: float = 0.0


def smooth_covariance(sd: float, span: float) -> Floats:
    """Return the covariance (5, 5) of strengths that move together over a ``span`` of file values."""
    apart = (TONES[:, None] - TONES) / span
    return np.asarray(sd**2 * np.exp(-0.5 * apart**2))


def tone_weights(values: Floats) -> Floats:
    """Return (5, N) what each strength weighs at file values (N,)."""
    weights: Floats = np.stack([np.interp(values, TONES, each) for each in np.eye(len(TONES))])
    # Curves bend on towards white: above the last tone the line goes on.
    beyond = np.maximum(values - TONES[-1], 0.0) / (TONES[-1] - TONES[-2])
    weights[-1] += beyond
    weights[-2] -= beyond
    return weights


def known_curve() -> ToneCurve:
    """What is known of a photo whose file is linear light in the standard encoding, as camera raw is: no curve at all.

    The width is an assumption: what black level and lens flare do to a sensor's straight line.
    """
    return ToneCurve(np.zeros(len(TONES)), np.diag(np.full(len(TONES), _KNOWN_SD**2)), 0)


def same_camera_curve(measured: Sequence[ToneCurve]) -> ToneCurve:
    """What is believed about a photo without evidence of its own when others of the room have it (at least one).

    A room's photos are usually taken with one phone (assumption), which still adapts its curve to the scene.
    """
    strengths = np.stack([curve.strength for curve in measured])
    covariance = np.mean([curve.covariance for curve in measured], axis=0) + smooth_covariance(SCENE_SD, _SCENE_SPAN)
    if len(strengths) > 1:
        covariance = covariance + np.diag(strengths.var(axis=0, ddof=1))
    return ToneCurve(strengths.mean(axis=0), covariance, 0)


def moved_strengths(strength: Floats, step: float) -> Floats:
    """Return (6, 5): ``strength`` (5,) as it is, then with one of its numbers after the other moved by ``step``."""
    return np.vstack([strength, strength + step * np.eye(len(TONES))])


def linear_table(strength: Floats, space: ColourSpace, size: int) -> Floats:
    """Return (..., size) linear values 0..1 of the file's values, evenly spaced 0..1, under ``strength`` (..., 5)."""
    plain, steps, weights = _plain_steps(space, size)
    rise = np.exp(strength @ weights) * steps
    logs = np.zeros((*rise.shape[:-1], size))
    logs[..., :-1] = -np.cumsum(rise[..., ::-1], axis=-1)[..., ::-1]
    table: Floats = np.where(plain > 0, plain[-1] * np.exp(logs), 0.0)
    return table


def plain_table(space: ColourSpace, size: int) -> Floats:
    """Return (size,) linear values 0..1 of the file's values, evenly spaced 0..1, where no curve lies on top."""
    return linear_table(np.zeros(len(TONES)), space, size)


@lru_cache(maxsize=16)
def _plain_steps(space: ColourSpace, size: int) -> tuple[Floats, Floats, Floats]:
    """Return plain light (size,), the steps of its logarithm (size - 1,), and what each tone weighs in each step
    (5, size - 1).
    """
    values = np.linspace(0.0, 1.0, size)
    plain = np.interp(values, np.linspace(0.0, 1.0, len(space.decode_table)), space.decode_table)
    steps = np.diff(np.log(np.maximum(plain, _DARKEST)))
    middles = (values[1:] + values[:-1]) / 2
    return plain, steps, tone_weights(middles)
