"""Which part of a surface is lit alike: a shadow across it, or its turned edge, is another reading altogether.

What differs in colour is material before it is light: a shadow dims and tints, within what lamps and bounce can do, and
keeps to its place; tiles of two colours differ by more, or lie all over the surface.
"""

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
# Assumptions, on what is set aside as lit otherwise. Distances of ln(R / G) and ln(B / G) of linear values from what is
# kept: on the sample and practice rooms shadows and edges lie 0.1 to 0.6 from it, 0.99 at most; teal tiles
# beside lilac ones 2.0. Less is enough where it lies all over the surface, and no colour at all where both parts do and
# are large, as black and white tiles. The extent is that of single pieces over that of all.
_OTHER_COLOUR, _SOME_COLOUR = 1.2, 0.5
_ALL_OVER, _BOTH_ALL_OVER, _LARGE = 0.6, 0.75, 0.2
_STRAY = 0.004  # linear value that stray light and rounding may add to a channel
_PATTERN = 0.08  # what the pattern of a material leaves in the mean of a block
_GAMMA = 2.2  # near the slope of any display encoding
_LINEAR = (np.arange(256) / 255) ** _GAMMA
_LOG_LIGHT = _GAMMA * np.log(np.maximum(np.arange(256), 1) / 255)


def lit_alike(
    values: NDArray[np.uint8], grey: NDArray[np.uint8], positions: Floats, scale: float, card: Light | None
) -> NDArray[np.bool_]:
    """Tell for N pixels, ``values`` (N, 3) and their ``grey`` at ``positions`` (N, 2) in full-size pixels, whether they
    are lit alike.

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
    if not kept.all():
        linear = [np.bincount(block_of, weights=_LINEAR.take(channel))[full] for channel in values.T]
        log = np.log(np.stack(linear, axis=1) / counts[:, None] + _STRAY)
        kept |= _material(log[:, [0, 2]] - log[:, [1]], kept, centres, counts)
    if counts[kept].sum() < min(_FEWEST_PIXELS, counts.sum() / 2):
        kept[:] = True
    chosen: NDArray[np.bool_] = kept[number].take(block_of)
    return chosen


def _material(colour: Floats, kept: NDArray[np.bool_], centres: Floats, counts: Floats) -> NDArray[np.bool_]:
    """Tell which blocks of ``colour`` (B, 2) that are not ``kept`` are another material, not in another light."""
    aside = ~kept
    if not kept.any():
        return aside
    apart = np.linalg.norm(colour - np.average(colour[kept], axis=0, weights=counts[kept]), axis=1)
    found: NDArray[np.bool_] = aside & (apart > _OTHER_COLOUR)
    coloured = aside & (apart > _SOME_COLOUR)
    large = _LARGE < counts[aside].sum() / counts.sum() < 1 - _LARGE
    if not (coloured.any() or large):
        return found
    whole = _extent(centres, counts)
    if _extent(centres[coloured], counts[coloured]) > _ALL_OVER * whole:
        found |= coloured
    if large and all(_extent(centres[part], counts[part]) > _BOTH_ALL_OVER * whole for part in (aside, kept)):
        found |= aside
    return found


def _extent(centres: Floats, counts: Floats) -> float:
    """Return the area (standard deviations multiplied) over which blocks (B, 2) of so many pixels are spread."""
    if len(centres) < 3:
        return 0.0
    total = counts.sum()
    x, y = (centres - counts @ centres / total).T
    # The determinant of the covariance, written out: numpy's own takes ten times as long for so few numbers.
    spread = (counts @ (x * x)) * (counts @ (y * y)) - (counts @ (x * y)) ** 2
    return float(np.sqrt(max(spread, 0.0)) / (total - 1))


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
