"""A list of different paints.

Near-identical ones are represented by the best, and another hue family is never hidden.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.colorimetry.difference import delta_e_2000
from matcher.harmony.undertone import families
from matcher.ranking import weights

FloatArray = NDArray[np.floating[Any]]
Rows = NDArray[np.intp]

_CIRCLE = (
    "red", "yellow-red", "yellow", "green-yellow", "green", "blue-green", "blue", "purple-blue", "purple", "red-purple",
)  # fmt: skip
_SIDES = {"neutral": "neutral"} | dict.fromkeys(("red-purple", "red", "yellow-red", "yellow"), "warm")
_SIDES |= dict.fromkeys(("green-yellow", "green"), "green") | dict.fromkeys(
    ("blue-green", "blue", "purple-blue", "purple"), "cool"
)
# Of eight places, how many one side of the hue circle may take while others have paints to show (assumption).
_LARGEST_SIDE = 3
# How many paints are looked at when searching for another family, in growing heads of the list; beyond the last a
# match is no longer a good one (assumption).
_FAMILY_HEADS = (24, 240)
# CIEDE2000 below 2 cannot hold beyond these steps: S_L is at most 1.75 (CIE 142-2001), S_C is 1 + 0.045 C, and the
# rotation term of blues stretches that by less than a half.
_LIGHTNESS_STEP, _TINT_STEP, _TINT_STEP_PER_CHROMA = 4.0, 4.0, 0.2


def _near_identical(first: FloatArray, second: FloatArray) -> NDArray[np.bool_]:
    """(M, 3) against (N, 3): (M, N) whether near-identical. CIEDE2000 is worked out only where it can be."""
    near = np.abs(first[:, None, 0] - second[:, 0]) <= _LIGHTNESS_STEP
    reach = _TINT_STEP + _TINT_STEP_PER_CHROMA * np.hypot(first[:, 1], first[:, 2])[:, None]
    for axis in (1, 2):
        near &= np.abs(first[:, None, axis] - second[:, axis]) <= reach
    one, other = np.nonzero(near)
    near[one, other] = delta_e_2000(first[one], second[other]) < weights.NEAR_IDENTICAL
    return near


def representatives(lab: FloatArray, order: Rows, count: int) -> list[int]:
    """The first ``count`` rows, in the given order (best first), no two of them near-identical."""
    chosen: list[int] = []
    start, size = 0, 3 * count
    while start < len(order):
        block = order[start : start + size]
        if chosen:
            block = block[~_near_identical(lab[chosen], lab[block]).any(axis=0)]
        # In a dense deck few of a block are new; those are settled among themselves, a few at a time.
        while len(block):
            head = block[: 3 * count]
            fresh = _distinct(_near_identical(lab[head], lab[head]))
            chosen += head[fresh].tolist()
            if len(chosen) >= count:
                return chosen[:count]
            rest = block[3 * count :]
            block = rest[~_near_identical(lab[head[fresh]], lab[rest]).any(axis=0)]
        start += size
        size *= 2
    return chosen


def _distinct(alike: NDArray[np.bool_]) -> Rows:
    """Places, best first, of which none is alike (M, M) an earlier one kept."""
    kept: list[int] = []
    covered = np.zeros(len(alike), dtype=bool)
    for place in range(len(alike)):
        if not covered[place]:
            kept.append(place)
            covered |= alike[place]
    return np.array(kept, dtype=np.intp)


def stands_for(lab: FloatArray, order: Rows, chosen: list[int]) -> dict[int, tuple[int, ...]]:
    """For each chosen row the other near-identical rows, best first; each row is told once, by the better paint."""
    place = np.empty(len(lab), dtype=np.intp)
    place[order] = np.arange(len(order))
    alike = _near_identical(lab[chosen], lab)
    alike[:, chosen] = False
    found: dict[int, tuple[int, ...]] = {}
    for row, mine in zip(chosen, alike, strict=True):
        rows = np.flatnonzero(mine)
        alike[:, rows] = False
        found[row] = tuple(rows[np.argsort(place[rows], kind="stable")].tolist())
    return found


def apart_from(lab: FloatArray, order: Rows, chosen: list[int]) -> Rows:
    """The head of ``order`` without ``chosen`` and what they stand for."""
    head = order[: _FAMILY_HEADS[-1]]
    return head[~_near_identical(lab[chosen], lab[head]).any(axis=0)]


def varied(lab: FloatArray, rows: list[int], count: int) -> list[int]:
    """The first ``count`` of ``rows`` (best first), no side of the hue circle filling the list.

    Scores at the head of a list are often ties; a person choosing wants to see what else ties.
    """
    limit = -(-_LARGEST_SIDE * count // 8)
    taken: dict[str, int] = {}
    chosen: list[int] = []
    passed: list[int] = []
    for row, family in zip(rows, families(lab[rows]), strict=True):
        side = _SIDES[family]
        if len(chosen) < count and taken.get(side, 0) < limit:
            taken[side] = taken.get(side, 0) + 1
            chosen.append(row)
        else:
            passed.append(row)
    missing = count - len(chosen)
    kept = {*chosen, *passed[: max(missing, 0)]}
    return [row for row in rows if row in kept]


def far_family(first: str, second: str) -> bool:
    """Whether two hue families are different and not neighbours on the Munsell circle.

    Any hue is far from neutral; neutral itself is a retreat from the question, not another answer, so far from nothing.
    """
    if "neutral" in (first, second):
        return first != second and second != "neutral"
    apart = abs(_CIRCLE.index(first) - _CIRCLE.index(second))
    return min(apart, len(_CIRCLE) - apart) > 1


def best_of_another_family(lab: FloatArray, order: Rows) -> int | None:
    """The best row whose hue family is far from that of the first; None where the head of the list has none."""
    for size in _FAMILY_HEADS:
        head = order[:size]
        found = families(lab[head])
        first = next(found)
        for row, family in zip(head[1:].tolist(), found, strict=True):
            if far_family(first, family):
                return int(row)
    return None
