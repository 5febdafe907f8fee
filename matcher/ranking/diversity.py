"""A list of different paints: near-identical ones are represented by the best, and another hue family is never hidden."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.colorimetry.difference import delta_e_2000
from matcher.harmony.undertone import undertones
from matcher.ranking import weights

FloatArray = NDArray[np.floating[Any]]
Rows = NDArray[np.intp]

_CIRCLE = (
    "red", "yellow-red", "yellow", "green-yellow", "green", "blue-green", "blue", "purple-blue", "purple", "red-purple",
)  # fmt: skip
# How many paints are looked at when searching for another family; beyond them a match is no longer a good one (assumption).
_FAMILY_SEARCH = 400
# CIEDE2000 <= 2 cannot hold beyond these steps in L*, a* or b* for near-neutral to muted colours; wide enough for strong ones.
_BOX = 12.0


def _close(lab: FloatArray, to: FloatArray) -> NDArray[np.bool_]:
    """Rows of ``lab`` (N, 3) near-identical to one colour (3,)."""
    near = np.flatnonzero((np.abs(lab - to) <= _BOX).all(axis=-1))
    close = np.zeros(len(lab), dtype=bool)
    close[near] = delta_e_2000(lab[near], to) < weights.NEAR_IDENTICAL
    return close


def representatives(lab: FloatArray, order: Rows, count: int) -> list[int]:
    """The first ``count`` rows, in the given order (best first), no two of them near-identical."""
    left = np.asarray(order)
    chosen: list[int] = []
    while len(left) and len(chosen) < count:
        best = int(left[0])
        chosen.append(best)
        # Only the head of the list can be chosen next, so only the head is compared.
        head = left[: 8 * count]
        left = np.concatenate([head[~_close(lab[head], lab[best])], left[8 * count :]])
    return chosen


def stands_for(lab: FloatArray, order: Rows, chosen: list[int]) -> dict[int, tuple[int, ...]]:
    """For each chosen row the other near-identical rows, best first; each row is told once, by the better paint."""
    taken = np.zeros(len(lab), dtype=bool)
    taken[chosen] = True
    place = np.empty(len(lab), dtype=np.intp)
    place[order] = np.arange(len(order))
    found: dict[int, tuple[int, ...]] = {}
    for row in chosen:
        rows = np.flatnonzero(_close(lab, lab[row]) & ~taken)
        taken[rows] = True
        found[row] = tuple(int(other) for other in rows[np.argsort(place[rows], kind="stable")])
    return found


def far_family(first: str, second: str) -> bool:
    """Whether two hue families are different and not neighbours on the Munsell circle; neutral is nobody's neighbour."""
    if "neutral" in (first, second):
        return first != second
    apart = abs(_CIRCLE.index(first) - _CIRCLE.index(second))
    return min(apart, len(_CIRCLE) - apart) > 1


def best_of_another_family(lab: FloatArray, order: Rows) -> int | None:
    """The best row whose hue family is far from that of the first; None where the head of the deck has none."""
    head = order[:_FAMILY_SEARCH]
    families = [undertone.family for undertone in undertones(lab[head])]
    return next((int(row) for row, family in zip(head, families, strict=True) if far_family(families[0], family)), None)
