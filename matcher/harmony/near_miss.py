"""Pairs that fight because they are nearly the same: two whites, a clean and a muted one, a wall that competes with
timber.

Common practice, no published source; every threshold is an assumption.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.harmony.ramp import smoothstep
from matcher.harmony.tint import Tint, hue_step

FloatArray = NDArray[np.floating[Any]]

# A colour claims to be white between these lightnesses, unless its chroma says that it is a colour.
_WHITE_LIGHTNESS = (82.0, 88.0)
_WHITE_CHROMA = (11.0, 6.0)
# A cream is taken for a white that has yellowed up to more chroma than a tinted white is (cosine of the angle from h' =
# 85: none beyond 40 degrees off, all within 20).
_CREAM_CENTRE_DEG, _CREAM_NONE, _CREAM_ALL = 85.0, 0.766, 0.94
_CREAM_CHROMA = (25.0, 16.0)
# Two whites: the same below the first difference in tint, a near miss by the second; no pair of whites if further than
# this in L*.
_SAME_WHITE, _MISSED_WHITE = 2.0, 6.0
_WHITE_STEP = (16.0, 8.0)
# Yellowness shows less than the same step in red, green or blue (the tint boundary of yellow is 2.5 times as far out).
_YELLOW_WEIGHT = 0.7

# Clean beside muted: hues closer than this, lightness closer than this, and the paint stronger by this much chroma
# than what still reads as the same family (1.3 times the fixed colour's chroma).
_SAME_HUE_DEG = (60.0, 35.0)
_NEAR_LIGHTNESS = (28.0, 14.0)
_KIN_CHROMA_RATIO = 1.3
_CLEANER_BY = (3.0, 14.0)
# Competing: both real colours, same hue region, same lightness or nearly.
_REAL_CHROMA = (10.0, 20.0)
_RIVAL_LIGHTNESS = (14.0, 6.0)


def claims_white(colour: Tint) -> FloatArray:
    """0..1: does the eye take this colour for a white, if one that has yellowed."""
    cream = smoothstep(np.cos(np.radians(colour.hue_deg - _CREAM_CENTRE_DEG)), _CREAM_NONE, _CREAM_ALL)
    pale = np.maximum(smoothstep(colour.chroma, *_WHITE_CHROMA), cream * smoothstep(colour.chroma, *_CREAM_CHROMA))
    return np.asarray(smoothstep(colour.lightness, *_WHITE_LIGHTNESS) * pale)


def near_miss_white(first: Tint, second: Tint) -> FloatArray:
    """0..1: two whites that differ enough to be seen and too little to be meant; symmetric."""
    both_white = np.asarray(claims_white(first) * claims_white(second))
    if not both_white.any():  # as beside most worktops and floors
        return both_white
    red_green = first.a_prime - second.a_prime
    blue_yellow = first.b - second.b
    # Both on the yellow side: a step in creaminess; otherwise blue against yellow, which shows in full.
    both_yellow = (first.b > 0) & (second.b > 0)
    blue_yellow = blue_yellow * (1 - both_yellow * blue_yellow.dtype.type(1 - _YELLOW_WEIGHT))
    # np.hypot guards against overflow, at several times the cost.
    difference = np.sqrt(red_green * red_green + blue_yellow * blue_yellow)
    near = smoothstep(np.abs(first.lightness - second.lightness), *_WHITE_STEP)
    return np.asarray(both_white * near * smoothstep(difference, _SAME_WHITE, _MISSED_WHITE))


def cleanness_clash(paint: Tint, fixed: Tint) -> FloatArray:
    """How far (0..1) the paint is so clean beside a fixed colour of its hue that it dirties it, or rivals it."""
    same_hue = smoothstep(hue_step(paint, fixed), *_SAME_HUE_DEG)
    step = np.abs(paint.lightness - fixed.lightness)
    near = smoothstep(step, *_NEAR_LIGHTNESS)
    cleaner = smoothstep(paint.chroma - _KIN_CHROMA_RATIO * fixed.chroma, *_CLEANER_BY)
    rivals = smoothstep(paint.chroma, *_REAL_CHROMA) * smoothstep(fixed.chroma, *_REAL_CHROMA)
    beside = np.maximum(near * cleaner, smoothstep(step, *_RIVAL_LIGHTNESS) * rivals)
    return np.asarray(same_hue * fixed.gate * beside)
