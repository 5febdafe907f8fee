"""How visible a tint is, and where it points: the quantities every undertone rule here is built from.

A fixed chroma limit calls every greige tinted or every violet grey neutral: a purple shows at a third of the chroma at
which a yellow does. The limit used is the ISCC-NBS boundary of the plain greys (Kelly & Judd 1976, NBS Special
Publication 440: Munsell chroma 0.5, or 0.7 for hues 7YR to 9Y), carried into CIELAB D65.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.floating[Any]]

# ISCC-NBS tint boundary at Munsell value 7.5: CIELAB hue angle and chroma (Munsell renotation, illuminant C to D65 by
# CAT16).
_BOUNDARY_HUE_DEG = np.array([26.0, 60, 80, 97, 119, 159, 184, 220, 267, 310, 358])
_BOUNDARY_CHROMA = np.array([1.91, 2.80, 4.74, 5.50, 4.14, 3.36, 2.83, 2.03, 1.55, 1.53, 1.55])

# Carried once round on both sides, so that np.interp need not be told of the circle on every call.
_TURN_HUE_DEG = np.concatenate([_BOUNDARY_HUE_DEG[-1:] - 360, _BOUNDARY_HUE_DEG, _BOUNDARY_HUE_DEG[:1] + 360])
_TURN_CHROMA = np.concatenate([_BOUNDARY_CHROMA[-1:], _BOUNDARY_CHROMA, _BOUNDARY_CHROMA[:1]])

# The same boundary at other values, relative to value 7.5: 5P/0.5 and 10YR/0.7 of the renotation.
_BOUNDARY_LIGHTNESS = np.array([40.0, 55, 75, 85])
_PURPLE_BY_LIGHTNESS = np.array([2.45, 1.97, 1.53, 1.35]) / 1.53
_YELLOW_BY_LIGHTNESS = np.array([4.79, 4.64, 4.74, 4.91]) / 4.74
# Assumption: hues between those two follow in proportion to where their own boundary lies between them. For greens it
# errs in the dark: at L* 40 the renotation has a green of hue 159 show from C* 2.7, this from 4.2. What the ranking
# makes of visibilities was judged with it.
_PURPLE_BOUNDARY, _YELLOW_BOUNDARY = 1.53, 4.74


def tint_boundary(hue_deg: ArrayLike, lightness: ArrayLike) -> FloatArray:
    """The smallest CIELAB chroma at which a hue shows as a tint, for CIELAB hue angles in degrees and L* 0..100.

    >>> round(float(tint_boundary(310.0, 75.0)), 2), round(float(tint_boundary(97.0, 75.0)), 2)
    (1.53, 5.5)
    """
    hue, level = np.asarray(hue_deg, dtype=np.float64), np.asarray(lightness)
    base = np.interp(hue % 360, _TURN_HUE_DEG, _TURN_CHROMA)
    # No boundary lies below that of purple.
    towards_yellow = np.minimum((base - _PURPLE_BOUNDARY) / (_YELLOW_BOUNDARY - _PURPLE_BOUNDARY), 1)
    purple = np.interp(level, _BOUNDARY_LIGHTNESS, _PURPLE_BY_LIGHTNESS)
    yellow = np.interp(level, _BOUNDARY_LIGHTNESS, _YELLOW_BY_LIGHTNESS)
    return np.asarray(base * (purple + towards_yellow * (yellow - purple)))


def own_boundary(lab: ArrayLike) -> FloatArray:
    """The tint boundary of a colour's own hue and lightness; (..., 3) to (...)."""
    array = np.asarray(lab, dtype=np.float64)
    hue_deg = np.degrees(np.arctan2(array[..., 2], array[..., 1])) % 360
    return tint_boundary(hue_deg, array[..., 0])


def visibility(lab: ArrayLike) -> FloatArray:
    """Chroma over the tint boundary of its hue and lightness: 1 = just visible as a tint; (..., 3) to (...)."""
    array = np.asarray(lab, dtype=np.float64)
    return np.asarray(np.hypot(array[..., 1], array[..., 2]) / own_boundary(array))


def visible_share(seen: ArrayLike) -> FloatArray:
    """Visibility as a gate 0..1: s^2 / (1 + s^2), one half at the boundary, so that hue cannot count near neutral."""
    squared = np.square(seen)
    return np.asarray(squared / (1 + squared))


@dataclass(frozen=True, slots=True, eq=False)
class Tint:
    """Columns of one shape: L*, a' and b, chroma C*ab, hue angle h' = atan2(b, a') in degrees, and the gate 0..1.

    a' = (1 + G) a is that of CIEDE2000 (Sharma, Wu & Dalal 2005), G from the colour's own chroma: hue of greys as seen.
    """

    lightness: FloatArray
    a_prime: FloatArray
    b: FloatArray
    chroma: FloatArray
    hue_deg: FloatArray
    gate: FloatArray

    def at(self, index: Any) -> Tint:
        """The same columns indexed by any numpy index."""
        return Tint(
            self.lightness[index], self.a_prime[index], self.b[index],
            self.chroma[index], self.hue_deg[index], self.gate[index],
        )  # fmt: skip


def hue_step(first: Tint, second: Tint) -> FloatArray:
    """Degrees of h', 0..180, between two tints, broadcast."""
    return np.asarray(180 - np.abs(180 - np.abs(first.hue_deg - second.hue_deg)))


def tint(lab: ArrayLike) -> Tint:
    """The tint of (..., 3) CIELAB colours; shapes (...), so that tint(paints[:, None]) meets tint(surfaces)."""
    array = np.asarray(lab)
    dtype = array.dtype if np.issubdtype(array.dtype, np.floating) else np.dtype(np.float64)
    # Each column in one piece: whatever is computed from it runs several times faster.
    lightness, a, b = np.ascontiguousarray(np.moveaxis(array, -1, 0), dtype=dtype)
    chroma = np.hypot(a, b)
    seventh = chroma.astype(np.float64) ** 7
    a_prime = (a * (1.5 - 0.5 * np.sqrt(seventh / (seventh + 25.0**7)))).astype(dtype)
    hue_deg = (np.degrees(np.arctan2(b, a_prime)) % 360).astype(dtype)
    return Tint(lightness, a_prime, b, chroma, hue_deg, visible_share(visibility(array)).astype(dtype))
