"""Which tins hold what is needed with the least left over, and then the fewest of them: exact to a spoonful."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from matcher.quantities.quantity import Tins
from matcher.quantities.units import LITRES_PER_GALLON, LITRES_PER_QUART, System

# What paint is commonly sold in where a deck does not say (common practice, no source).
COMMON_TINS: dict[System, tuple[float, ...]] = {
    "metric": (1.0, 2.5, 5.0),
    "US": (LITRES_PER_QUART, LITRES_PER_GALLON, 5 * LITRES_PER_GALLON),
}
_ML = 1000
# Beyond this many of the largest tin the rest is counted exactly and what lies above is filled with the largest.
_EXACT_TINS = 60
# Assumption: a difference that clings to a lid. Four quarts and a gallon, in whole millilitres, differ by one.
_SPOONFUL_ML = 20
_UNREACHED = np.iinfo(np.int32).max // 2


def tins_for(litres: float, sizes: Sequence[float]) -> tuple[Tins, ...]:
    """Return the tins, largest first; () for no paint. ``sizes`` are litres, at least one, all above 0.

    >>> [(tin.litres, tin.count) for tin in tins_for(4.2, (1.0, 2.5, 5.0))]
    [(2.5, 1), (1.0, 2)]
    """
    # A drop more than a tin holds, by rounding, is no reason for another.
    need = math.ceil(litres * _ML - 1e-6)
    if need <= 0:
        return ()
    in_ml = {max(round(size * _ML), 1): size for size in sizes}
    steps = sorted(in_ml)
    largest = steps[-1]
    spare = max(need // largest - _EXACT_TINS, 0)
    counts = _fewest(need - spare * largest, steps)
    counts[largest] = counts.get(largest, 0) + spare
    return tuple(Tins(in_ml[step], counts[step]) for step in reversed(steps) if counts.get(step))


def _fewest(need: int, steps: Sequence[int]) -> dict[int, int]:
    """Return how many of each of ``steps`` (ascending) make the least total that is enough, and then are fewest."""
    unit = math.gcd(*steps)
    sizes = [step // unit for step in steps]
    least = -(-need // unit)
    # Some number of the largest alone reaches it, so the best total is below one more of them.
    totals = least + sizes[-1]
    fewest = np.full(totals, _UNREACHED, dtype=np.int32)
    fewest[0] = 0
    for size in sizes:
        _with_any_number_of(size, fewest)
    first = least + int(np.argmax(fewest[least:] < _UNREACHED))
    total = first + int(np.argmin(fewest[first : first + _SPOONFUL_ML // unit + 1]))
    counts: dict[int, int] = {}
    while total:
        step = next(s for s in reversed(sizes) if s <= total and fewest[total - s] == fewest[total] - 1)
        counts[step * unit] = counts.get(step * unit, 0) + 1
        total -= step
    return counts


def _with_any_number_of(size: int, fewest: np.ndarray[tuple[int], np.dtype[np.int32]]) -> None:
    """Let ``fewest`` tins for each total also use tins of ``size``: each adds one tin and ``size`` to the total."""
    rows = -(-len(fewest) // size)
    padded = np.full(rows * size, _UNREACHED, dtype=np.int32)
    padded[: len(fewest)] = fewest
    table, row = padded.reshape(rows, size), np.arange(rows, dtype=np.int32)[:, None]
    # Down a column the total grows by one tin a row: the best start is the least of (tins - row) so far.
    best = np.minimum.accumulate(table - row, axis=0) + row
    fewest[:] = np.minimum(best.reshape(-1)[: len(fewest)], _UNREACHED)
