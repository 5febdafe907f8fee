"""How a large surface beside a paint shifts the look of it: simultaneous contrast, kept modest.

The proximal field of Hunt's model: Hunt 1991, Color Res. Appl. 16(3), 146-165, as Fairchild 2013, "Color Appearance
Models", gives it (a check value of the formula: tests/harmony/test_induced.py). In each of the three cone signals the
eye's white is moved towards what lies beside the paint, measured against the background. The formula is published, its
strength p is not: it is left to the user, from 0 (none) to -1 (the eye takes the surface for white).

Three things are ours, all of them assumptions:

- **p**: -0.1 to -0.2, so a shift is a range: a tenth to a fifth of the surface's own colour, turned round.
- **the background** is a grey as light as the surface: what is asked is what its colour does, not its lightness.
- **a step in lightness** between the two leaves less of it: 1 - tanh^2 of the logarithm of their luminances' ratio,
  which is the slope of the published formula at that step. Used in full the formula would also turn the hue there,
  since each signal saturates by itself.

In real rooms another effect pulls the other way: light that a floor throws on a wall carries the floor's colour, and in
rooms of two colours the two became more alike (Billger 1999, Color Res. Appl., read in its abstract). And whether a
surface shifts a paint towards its own opposite or away from itself is disputed (Ekroll & Faul 2012, "New laws of
simultaneous contrast?"): :func:`accounts_agree` tells where it makes no difference, as beside near-neutrals.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from matcher.colorimetry.adaptation import HUNT_POINTER_ESTEVEZ
from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.spaces import WHITE_D65, lab_to_xyz, xyz_to_lab
from matcher.harmony.tint import tint_boundary

FloatArray = NDArray[np.floating[Any]]

# Hunt's p at the weak and the strong end of what is taken to be possible. Assumption: nothing published fits it to
# rooms.
WEAK, STRONG = -0.1, -0.2
_CONES_TO_XYZ: FloatArray = np.linalg.inv(HUNT_POINTER_ESTEVEZ)
_WHITE_CONES: FloatArray = HUNT_POINTER_ESTEVEZ @ WHITE_D65
# Signals of a surface over those of its grey are kept within these: no surface goes beyond, colours outside the gamut
# do, and there tanh of the logarithm is 0.995 already.
_FARTHEST_RATIO = (0.05, 20.0)
# Below this Y (L* 0.9) there is no light that could have a colour.
_BLACK = 0.001
# The two accounts of the direction agree within this many degrees. Assumption: as wide as two Munsell families.
_SAME_WAY_DEG = 60.0
# A shift counts as bringing a lean out within this of its hue, degrees: half of a quarter turn (assumption).
_ALONG_DEG = 45.0


def adjusted_white(white: ArrayLike, proximal: ArrayLike, background: ArrayLike, p: ArrayLike) -> FloatArray:
    """Return cone signals of the white, (..., 3), that the eye goes by beside a proximal field; p -1..0 is contrast,
    0..1 assimilation; all broadcast.

    Hunt 1991; Fairchild 2013: rho_w' = rho_w sqrt((1-p) q + (1+p)/q) / sqrt((1+p) q + (1-p)/q), q = rho_p / rho_b.
    """
    ratio = np.divide(proximal, background, dtype=np.float64)
    strength = np.asarray(p, dtype=np.float64)
    above = (1 - strength) * ratio + (1 + strength) / ratio
    below = (1 + strength) * ratio + (1 - strength) / ratio
    return np.asarray(np.multiply(white, np.sqrt(above / below)))


def induced_shift(paint: ArrayLike, surface: ArrayLike, p: float) -> FloatArray:
    """Return by how much the look of ``paint`` moves beside a large ``surface``, CIELAB differences (..., 3).

    Colours are CIELAB (..., 3), which broadcast. Lightness is left as it is. A black surface, and a grey one, shifts
    nothing.
    """
    colour = np.asarray(paint, dtype=np.float64)
    seen, beside = lab_to_xyz(colour), lab_to_xyz(np.asarray(surface, dtype=np.float64))
    luminance = beside[..., 1:2]
    lit = luminance > _BLACK
    grey = _WHITE_CONES * np.where(lit, luminance, 1.0)
    ratio = np.where(lit, beside @ HUNT_POINTER_ESTEVEZ.T / grey, 1.0).clip(*_FARTHEST_RATIO)
    gain = 1 / adjusted_white(1.0, ratio, 1.0, p)
    looks = xyz_to_lab((seen @ HUNT_POINTER_ESTEVEZ.T * gain) @ _CONES_TO_XYZ.T)
    shift = (looks - colour) * _left_at(luminance, seen[..., 1:2])
    return np.asarray(shift * np.array([0.0, 1.0, 1.0]))


def push_visibility(paint: ArrayLike, shift: ArrayLike) -> FloatArray:
    """Return how visible a shift (..., 3) of a paint is, (...): 1 where it is as large as the smallest chroma at which
    that hue shows as a tint on a grey as light (harmony/tint.py), by CIEDE2000: a strong colour hides more.
    """
    colour, moved = np.asarray(paint, dtype=np.float64), np.asarray(shift, dtype=np.float64)
    lightness = np.broadcast_to(colour[..., 0], moved.shape[:-1])
    angle = np.arctan2(moved[..., 2], moved[..., 1])
    smallest = tint_boundary(np.degrees(angle) % 360, lightness)
    grey = np.stack([lightness, np.zeros_like(lightness), np.zeros_like(lightness)], axis=-1)
    tinted = np.stack([lightness, smallest * np.cos(angle), smallest * np.sin(angle)], axis=-1)
    return np.asarray(delta_e_2000(colour, colour + moved) / delta_e_2000(grey, tinted))


def accounts_agree(paint: ArrayLike, surface: ArrayLike, shift: ArrayLike) -> NDArray[np.bool_]:
    """Return whether a shift (..., 3) also points away from the surface's own colour, as the other account has it."""
    away = np.subtract(paint, surface, dtype=np.float64)
    return _same_way(away, np.asarray(shift, dtype=np.float64), _SAME_WAY_DEG)


def brings_out(colour: ArrayLike, shift: ArrayLike) -> NDArray[np.bool_]:
    """Return whether a shift (..., 3) points the way that a colour (..., 3) leans already, broadcast."""
    return _same_way(np.asarray(colour, dtype=np.float64), np.asarray(shift, dtype=np.float64), _ALONG_DEG)


def _same_way(one: FloatArray, other: FloatArray, within_deg: float) -> NDArray[np.bool_]:
    """Return whether two steps in a* and b* of (..., 3) point the same way; no step points nowhere."""
    first, second = one[..., 1:], other[..., 1:]
    along = (first * second).sum(axis=-1)
    sizes = np.hypot(first[..., 0], first[..., 1]) * np.hypot(second[..., 0], second[..., 1])
    return np.asarray((sizes > 0) & (along >= np.cos(np.radians(within_deg)) * sizes))


def _left_at(surface: FloatArray, paint: FloatArray) -> FloatArray:
    """Return how much of a shift a step in luminance leaves, 0..1: 1 - tanh(ln r)^2 = 4 / (r + 1/r)^2."""
    ratio = np.maximum(surface, _BLACK) / np.maximum(paint, _BLACK)
    return np.asarray(4 / np.square(ratio + 1 / ratio))
