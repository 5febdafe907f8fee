"""A list of different paints.

Near-identical ones are represented by the best, and another hue family is never hidden.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.colorimetry.difference import delta_e_2000
from matcher.harmony.undertone import families
from matcher.ranking import weights

FloatArray = NDArray[np.floating[Any]]
Rows = NDArray[np.intp]

_SIDES = {"neutral": "neutral"} | dict.fromkeys(("red-purple", "red", "yellow-red", "yellow"), "warm")
_SIDES |= dict.fromkeys(("green-yellow", "green"), "green") | dict.fromkeys(
    ("blue-green", "blue", "purple-blue", "purple"), "cool"
)
# Of eight places, how many one side of the hue circle may take while others have paints to show (assumption).
_LARGEST_SIDE = 3
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
    """For each chosen row the other near-identical ones of ``order`` (best first), best first; each row is told once,
    by the better paint.
    """
    place = np.full(len(lab), -1, dtype=np.intp)
    place[order] = np.arange(len(order))
    alike = _near_identical(lab[chosen], lab)
    alike[:, chosen] = False
    alike[:, place < 0] = False
    found: dict[int, tuple[int, ...]] = {}
    for row, mine in zip(chosen, alike, strict=True):
        rows = np.flatnonzero(mine)
        alike[:, rows] = False
        found[row] = tuple(rows[np.argsort(place[rows])].tolist())
    return found


def first_of_sides(lab: FloatArray, rows: Rows, known: Sequence[int]) -> list[int]:
    """Return the first of ``rows`` (best first) of each side of the hue circle that no ``known`` row is of."""
    missing = set(_SIDES.values()) - {_SIDES[word] for word in families(lab[list(known)])}
    found: list[int] = []
    for row, word in zip(rows.tolist(), families(lab[rows]), strict=True):
        if not missing:
            break
        if _SIDES[word] in missing:
            missing.remove(_SIDES[word])
            found.append(row)
    return found


def varied(
    rows: Sequence[int],
    words: Sequence[str],
    leads: NDArray[np.bool_],
    near: Sequence[int],
    count: int,
    *,
    always: Sequence[int] = (),
) -> tuple[list[int], set[int]]:
    """Return ``count`` of ``rows`` (best first, with family ``words``), still best first, and those of them that stand
    there to show another direction: by their score alone others would.

    The best of each side of the hue circle is shown where its place is among the ``near`` ones, and the places
    ``always``; after that one side gives way where another has paints that are as good by what was measured: ``leads``
    (M, M) tells what is surely better.
    """
    sides = [_SIDES[word] for word in words]
    first_of = {side: place for place, side in reversed(list(enumerate(sides)))}
    others = sorted(place for side, place in first_of.items() if side != "neutral" and place in near)
    chosen = list(dict.fromkeys([0, *always, *others]))[: max(1, count // 2)]
    limit = -(-_LARGEST_SIDE * count // 8)
    waiting = [place for place in range(len(rows)) if place not in chosen]
    while waiting and len(chosen) < count:
        taken = Counter(sides[place] for place in chosen)
        best = waiting[0]
        if taken[sides[best]] >= limit:
            as_good = (place for place in waiting if taken[sides[place]] < limit and not leads[best, place])
            best = next(as_good, best)
        waiting.remove(best)
        chosen.append(best)
    listed = sorted(chosen)
    return [rows[place] for place in listed], {rows[place] for place in listed if place >= count}
