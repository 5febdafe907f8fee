"""A list of different paints.

Near-identical ones are represented by the best, and another hue family is never hidden.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
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
# Half axes of an ellipsoid outside which CIEDE2000 is above 2: S_L is at most 1.75 (CIE 142-2001), S_C is 1 + 0.045 C,
# and the rotation term stretches that for strong blues (the least on its surface, of 16 million pairs, is 2.1).
_LIGHTNESS_STEP, _TINT_STEP, _TINT_STEP_PER_CHROMA = 4.0, 4.0, 0.25


def _near_identical(first: FloatArray, second: FloatArray) -> NDArray[np.bool_]:
    """(M, 3) against (N, 3): (M, N) whether near-identical. CIEDE2000 is worked out only where it can be."""
    near = _can_be_near(first, second)
    one, other = np.nonzero(near)
    near[one, other] = delta_e_2000(first[one], second[other]) < weights.NEAR_IDENTICAL
    return near


def _can_be_near(first: FloatArray, second: FloatArray) -> NDArray[np.bool_]:
    """(M, N): inside the ellipsoid that CIEDE2000 below 2 cannot leave, in single precision, well within its slack."""
    one = np.ascontiguousarray(first.T, dtype=np.float32)[:, :, None]
    other = np.ascontiguousarray(second.T, dtype=np.float32)
    narrow = _LIGHTNESS_STEP / (_TINT_STEP + _TINT_STEP_PER_CHROMA * np.hypot(one[1], one[2]))
    lightness, a, b = one[0] - other[0], (one[1] - other[1]) * narrow, (one[2] - other[2]) * narrow
    return np.asarray(lightness * lightness + a * a + b * b <= _LIGHTNESS_STEP**2)


def _distinct(lab: FloatArray) -> Rows:
    """Places, best first, of which none is near-identical to an earlier one kept."""
    later = np.triu(_can_be_near(lab, lab), 1)
    one, other = np.nonzero(later)
    later[one, other] = delta_e_2000(lab[one], lab[other]) < weights.NEAR_IDENTICAL
    kept: list[int] = []
    covered = np.zeros(len(lab), dtype=bool)
    for place in range(len(lab)):
        if not covered[place]:
            kept.append(place)
            covered |= later[place]
    return np.array(kept, dtype=np.intp)


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
            fresh = _distinct(lab[head])
            chosen += head[fresh].tolist()
            if len(chosen) >= count:
                return chosen[:count]
            rest = block[3 * count :]
            block = rest[~_near_identical(lab[head[fresh]], lab[rest]).any(axis=0)]
        start += size
        size *= 2
    return chosen


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


def varied(rows: list[int], words: Sequence[str], count: int) -> list[int]:
    """The first ``count`` of ``rows`` (best first, with their family ``words``), no side of the hue circle filling it.

    Scores at the head of a list are often ties; a person choosing wants to see what else ties.
    """
    limit = -(-_LARGEST_SIDE * count // 8)
    taken: dict[str, int] = {}
    chosen: list[int] = []
    passed: list[int] = []
    for row, family in zip(rows, words, strict=True):
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


def first_far(rows: Iterable[int], words: Iterable[str]) -> int | None:
    """The first of ``rows`` whose hue family (``words``) is far from that of the first row; None without one."""
    pairs = zip(rows, words, strict=True)
    _, first = next(pairs)
    return next((row for row, family in pairs if far_family(first, family)), None)


def best_of_another_family(lab: FloatArray, order: Rows) -> int | None:
    """The best row whose hue family is far from that of the first; None where the head of the list has none."""
    for size in _FAMILY_HEADS:
        head = order[:size]
        found = first_far(head.tolist(), families(lab[head]))
        if found is not None:
            return found
    return None
