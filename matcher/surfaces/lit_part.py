"""Which part of a surface is lit alike: a shadow across it, or its turned edge, is another reading altogether."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from matcher.calibration.light import Light
from matcher.colorimetry.spaces import Floats

# Assumptions. A block is wider than most patterns, so that its mean tells of light more than of material; one further
# than this from what is expected (logarithm of light) is in another light.
_BLOCK = 28.0  # decoded pixels
_OTHERWISE_LIT = 1.0
_BESIDE = 1.5  # card widths: these blocks show how the surface looks in the card's light
_FEWEST_BESIDE = 4
_BRIGHTER_PART = 0.7  # quantile of light that stands for the lit part of a surface without a card
_FEWEST_PIXELS = 750
_LOG_LIGHT = 2.2 * np.log(np.maximum(np.arange(256), 1) / 255)  # near the slope of any display encoding


def lit_alike(grey: NDArray[np.uint8], positions: Floats, scale: float, card: Light | None) -> NDArray[np.bool_]:
    """Tell for N pixels, ``grey`` values at ``positions`` (N, 2) in full-size pixels, whether they are lit alike.

    Alike means like the surface beside its ``card``, or, without one, like the brighter part of the surface.
    """
    if not len(grey):
        return np.zeros(0, bool)
    cell = np.floor(positions * (scale / _BLOCK)).astype(np.int64)
    cell -= cell.min(axis=0)
    _, block_of = np.unique(cell[:, 1] * (cell[:, 0].max() + 1) + cell[:, 0], return_inverse=True)
    counts = np.bincount(block_of).astype(float)
    light = np.bincount(block_of, weights=_LOG_LIGHT[grey]) / counts
    if card is None:
        expected = _brighter(light, counts)
    else:
        x, y = (np.bincount(block_of, weights=positions[:, i]) / counts for i in range(2))
        away = np.hypot(x - card.position[0], y - card.position[1])
        expected = _beside(light, counts, away, card)
    kept = np.abs(light - expected) < _OTHERWISE_LIT
    if counts[kept].sum() < min(_FEWEST_PIXELS, counts.sum() / 2):
        kept[:] = True
    chosen: NDArray[np.bool_] = kept[block_of]
    return chosen


def _brighter(light: Floats, counts: Floats) -> float:
    order = np.argsort(light)
    reached = np.cumsum(counts[order]) / counts.sum()
    return float(light[order][np.searchsorted(reached, _BRIGHTER_PART)])


def _beside(light: Floats, counts: Floats, distance: Floats, card: Light) -> float:
    nearest = np.sort(distance)[:_FEWEST_BESIDE][-1]
    beside = distance <= max(_BESIDE * card.extent, float(nearest))
    return float(np.average(light[beside], weights=counts[beside]))
