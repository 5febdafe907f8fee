"""Which part of a surface is lit alike: a shadow across it, or its turned edge, is another reading altogether."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from matcher.calibration.light import Light
from matcher.colorimetry.spaces import Floats

# Assumptions. A block is wider than most patterns, so that its mean tells of light more than of material. Light that
# falls off evenly is followed by a plane; a block further from it than this (logarithm of light), as seen from the
# card, is in another light.
_BLOCK = 28.0  # decoded pixels
_OTHERWISE_LIT = 0.9
_BESIDE = 1.5  # card widths: these blocks show how the surface looks in the card's light
_FEWEST_BESIDE = 4
_BRIGHTER_PART = 0.7  # quantile of light that stands for the lit part of a surface without a card
_FEWEST_PIXELS = 750
_PLANE_ROUNDS = 8
_PATTERN = 0.08  # what the pattern of a material leaves in the mean of a block
_LOG_LIGHT = 2.2 * np.log(np.maximum(np.arange(256), 1) / 255)  # near the slope of any display encoding


def lit_alike(grey: NDArray[np.uint8], positions: Floats, scale: float, card: Light | None) -> NDArray[np.bool_]:
    """Tell for N pixels, ``grey`` values at ``positions`` (N, 2) in full-size pixels, whether they are lit alike.

    Alike means like the surface beside its ``card``, or, without one, like the brighter part of the surface.
    """
    if not len(grey):
        return np.zeros(0, bool)
    # Columns in one piece: numpy is slow across pairs.
    x, y = np.ascontiguousarray(positions.T)
    column, row = ((each * np.float32(scale / _BLOCK)).astype(np.intp) for each in (x, y))
    column -= column.min()
    block_of = (row - row.min()) * (int(column.max()) + 1) + column
    counts = np.bincount(block_of).astype(float)
    full = counts > 0
    sums = [np.bincount(block_of, weights=each)[full] for each in (_LOG_LIGHT.take(grey), x, y)]
    number = np.cumsum(full) - 1
    counts = counts[full]
    light, *centre = (total / counts for total in sums)
    centres = np.stack(centre, axis=1)
    departure = light - _plane(light, centres, counts)
    if card is None:
        expected = _brighter(departure, counts)
    else:
        away = np.linalg.norm(centres - card.position, axis=1)
        expected = _beside(departure, counts, away, card)
    kept = np.abs(departure - expected) < _OTHERWISE_LIT
    if counts[kept].sum() < min(_FEWEST_PIXELS, counts.sum() / 2):
        kept[:] = True
    chosen: NDArray[np.bool_] = kept[number].take(block_of)
    return chosen


def _plane(light: Floats, centres: Floats, counts: Floats) -> Floats:
    """Return the plane that most blocks lie on, fitted to the sum of absolute departures."""
    design = np.column_stack(
        [np.ones(len(centres)), (centres - centres.mean(axis=0)) / np.ptp(centres, axis=0).max(initial=1.0)]
    )
    weights = counts
    fitted = np.full(len(light), float(np.median(light)))
    # A breath of ridge, for regions one block wide.
    ridge = 1e-6 * counts.sum() * np.eye(3)
    for _ in range(_PLANE_ROUNDS):
        weighted = design.T * weights
        solution = np.linalg.solve(weighted @ design + ridge, weighted @ light)
        fitted = design @ solution
        weights = counts / np.maximum(np.abs(light - fitted), _PATTERN)
    return fitted


def _brighter(light: Floats, counts: Floats) -> float:
    order = np.argsort(light)
    reached = np.cumsum(counts[order]) / counts.sum()
    return float(light[order][np.searchsorted(reached, _BRIGHTER_PART)])


def _beside(light: Floats, counts: Floats, distance: Floats, card: Light) -> float:
    nearest = np.sort(distance)[:_FEWEST_BESIDE][-1]
    beside = distance <= max(_BESIDE * card.extent, float(nearest))
    return float(np.average(light[beside], weights=counts[beside]))
