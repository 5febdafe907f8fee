"""The camera's tone curve: what a phone does to a picture on top of the standard encoding, and how to undo it.

A standard encoded value u (what a plain camera would have written) becomes the value in the file

    v = u + sum_i strength_i * shape_i(u)

with three shapes that leave black and white where they are. A symmetric S, a lift of the middle tones and a bend
of shadows against highlights span what in-camera curves do between black and white; three numbers are as many as a
white, a grey and a black card can support.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from matcher.colorimetry.spaces import Floats
from matcher.photo.model import ColourSpace

CURVE_SIZE = 4096
_EVEN = np.linspace(0.0, 1.0, CURVE_SIZE)

SHAPES: Floats = np.stack(
    [
        -np.sin(2 * np.pi * _EVEN) / (2 * np.pi),  # S: darker shadows, lighter highlights
        _EVEN * (1 - _EVEN),  # lift: lighter middle tones
        -np.sin(4 * np.pi * _EVEN) / (4 * np.pi),  # bend: toe against shoulder
    ]
)

# Assumption: what a scale of greys starts from when it is fitted, the standard encoding with a small lean to the S that
# phones add. The width lets a strong S (0.4) lie at two sigma. What is believed without a scale: curve_prior.py.
PRIOR_MEAN: Floats = np.array([0.015, 0.0, 0.0])
PRIOR_SD: Floats = np.array([0.2, 0.06, 0.06])

# Assumption: how far one phone's curve moves from scene to scene.
SCENE_SD: Floats = np.array([0.15, 0.04, 0.04])

_KNOWN_SD = 2e-3
# Keeps the curve rising: the steepest fall of the three shapes together stays below this slope.
_MINIMUM_SLOPE = 0.05


@dataclass(frozen=True, slots=True, eq=False)
class ToneCurve:
    """``strength`` (3,) of the shapes and its ``covariance`` (3, 3); ``evidence`` counts the patch ratios behind it."""

    strength: Floats
    covariance: Floats
    evidence: int


def known_curve() -> ToneCurve:
    """What is known of a photo whose file is linear light in the standard encoding, as camera raw is: no curve at all.

    The width is an assumption: what black level and lens flare do to a sensor's straight line.
    """
    return ToneCurve(np.zeros(3), np.diag(np.full(3, _KNOWN_SD**2)), 0)


def same_camera_curve(measured: Sequence[ToneCurve]) -> ToneCurve:
    """What is believed about a photo without evidence of its own when others of the room have it (at least one).

    A room's photos are usually taken with one phone (assumption), which still adapts its curve to the scene.
    """
    strengths = np.stack([curve.strength for curve in measured])
    covariance = np.mean([curve.covariance for curve in measured], axis=0) + np.diag(SCENE_SD**2)
    if len(strengths) > 1:
        covariance = covariance + np.diag(strengths.var(axis=0, ddof=1))
    return ToneCurve(strengths.mean(axis=0), covariance, 0)


def linear_table(strength: Floats, space: ColourSpace, size: int) -> Floats:
    """Return (size,) linear values 0..1 of the file's values, evenly spaced 0..1."""
    curve = np.maximum.accumulate(_EVEN + strength @ SHAPES)
    standard = np.interp(np.linspace(0.0, 1.0, size), curve, _EVEN)
    table: Floats = np.interp(standard, np.linspace(0.0, 1.0, len(space.decode_table)), space.decode_table)
    return table


def is_monotone(strength: Floats) -> bool:
    """Tell whether the curve of these strengths rises everywhere."""
    return bool(np.diff(_EVEN + strength @ SHAPES).min() * (CURVE_SIZE - 1) > _MINIMUM_SLOPE)
