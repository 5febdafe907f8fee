"""Tints as they are meant, and the soft step between two numbers by scipy."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.interpolate import CubicHermiteSpline

from matcher.harmony.tint import Tint

FloatArray = NDArray[np.floating[Any]]


def a_tint(lightness: ArrayLike, chroma: ArrayLike, hue_deg: ArrayLike, gate: ArrayLike = 1 - 1e-9) -> Tint:
    """Return tints of a lightness, a chroma and a hue angle h', broadcast, as plain to see as ``gate`` says."""
    level, size, hue, seen = np.broadcast_arrays(
        *(np.asarray(each, float) for each in (lightness, chroma, hue_deg, gate))
    )
    angle = np.radians(hue)
    return Tint(level, size * np.cos(angle), size * np.sin(angle), size, hue % 360, seen)


def soft(value: ArrayLike, start: float, end: float) -> FloatArray:
    """0 up to ``start``, 1 from ``end``, level at both: the cubic that Hermite's conditions leave, by scipy."""
    low, high = min(start, end), max(start, end)
    curve = CubicHermiteSpline([low, high], [float(start > end), float(end > start)], [0.0, 0.0])
    return np.asarray(curve(np.clip(value, low, high)))
