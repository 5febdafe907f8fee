"""Which patches lie side by side as a white, a grey and a black card do, and the third where two of them were found.

Two cards of a set and the place where the third must lie are more than a patch by itself: a white card on a white wall
or a grey one on speckled stone has hardly a border, but there is something even, of the right lightness, that ends
where a card would.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from itertools import combinations
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.photo.patches import EvenArea, patch_at

Array = NDArray[Any]

_SAME_CHROMATICITY = 0.22  # natural log of channel ratios; a black card's are uncertain by flare
_IN_ROW, _CHROMATICITY_IN_ROW = 0.25, 0.6  # of a side; natural log of channel ratios
# White 0.86 to grey 0.18 is 4.8, grey to black 0.04 is 4.5; tone curves bend both: on the rendered rooms they make 3.9
# to 11. Tiles in the fall-off of a lamp make less.
_LEVEL_RATIO = (2.5, 14.0)
_NEIGHBOUR_GAP = 1.5  # distance of centres over the longest side
_LIKE_AREA = 1.7
# Of a side: from the first of three in a row to the last, patches being a little smaller than cards.
_TWO_STEPS, _OFF_ROW = (1.7, 3.0), 0.35
_WITHIN = 0.8  # of a third's place
# Of a third: times the unevenness of the two; encoded steps, as a white card on a white wall has it.
_UNEVEN_BEYOND_PAIR, _LEAST_BORDER = 2.0, 3.0


def chromaticity(linear: Array) -> Array:
    """Return ln(R/G), ln(B/G) of linear RGB (..., 3)."""
    logs = np.log(linear)
    return np.stack([logs[..., 0] - logs[..., 1], logs[..., 2] - logs[..., 1]], axis=-1)


def with_thirds(patches: Sequence[EvenArea], smooth: Array, linear: Callable[[Array], Array]) -> list[EvenArea]:
    """Return the patches and those that two of them show the place of; what is long and thin only in a set of three.

    ``smooth`` (H, W, 3) is the picture that the patches were measured in, ``linear`` takes its colours to linear RGB.
    """
    thirds = _distinct(_thirds(patches, smooth, linear))
    kept = [*(patch for patch in patches if not _overlaps(patch, thirds)), *thirds]
    levels = linear(np.array([patch.rgb for patch in kept]))
    in_sets = {i for trio in trios(neighbours(kept, levels), levels[:, 1]) for i in trio}
    return [patch for i, patch in enumerate(kept) if i in in_sets or not patch.slender]


def _distinct(thirds: Iterator[EvenArea]) -> list[EvenArea]:
    kept: list[EvenArea] = []
    for third in sorted(thirds, key=lambda third: -third.border):
        if not _overlaps(third, kept):
            kept.append(third)
    return kept


def _thirds(patches: Sequence[EvenArea], smooth: Array, linear: Callable[[Array], Array]) -> Iterator[EvenArea]:
    levels = linear(np.array([patch.rgb for patch in patches]))
    beside = neighbours(patches, levels)
    in_sets = {i for trio in trios(beside, levels[:, 1]) for i in trio}
    ends = _ends(levels)
    alone = [i for i in range(len(patches)) if i not in in_sets]
    for one, other in combinations(alone, 2):
        pair = patches[one], patches[other]
        touching = bool(beside[one, other])
        if not touching and not ends[one, other]:
            continue
        for quad in _places(*pair, touching=touching):
            if quad.min() < 0 or (quad.max(axis=0) >= [smooth.shape[1], smooth.shape[0]]).any():
                continue
            third = _seen_at(smooth, quad, min(each.fit for each in pair))
            three = np.concatenate([levels[[one, other]], linear(third.rgb[None])])
            if _completes(third, pair, three):
                yield third


def _seen_at(smooth: Array, quad: Array, fit: float) -> EvenArea:
    """Return what is seen at a place that is known only so well: its border whole, its colour well inside."""
    middle = quad.mean(axis=0)
    inside = patch_at(smooth, middle + _WITHIN * (quad - middle), fit)
    return replace(patch_at(smooth, quad, fit), rgb=inside.rgb, unevenness=inside.unevenness)


def _ends(linear: Array) -> Array:
    """Return (N, N) bool: colours, ``linear`` (N, 3), as far apart as a white and a black card are."""
    level, chroma = np.log(linear[:, 1]), chromaticity(linear)
    ratio = np.abs(level[:, None] - level[None])
    apart = np.linalg.norm(chroma[:, None] - chroma[None], axis=2)
    low, high = 2 * np.log(_LEVEL_RATIO)
    return np.asarray((low < ratio) & (ratio < high) & (apart < _SAME_CHROMATICITY))


def _places(one: EvenArea, other: EvenArea, *, touching: bool) -> Iterator[Array]:
    """Yield where (4, 2) a third of one size lies: beyond either of two that touch, else between them."""
    # Corners of both in one order: each beside the nearest of the other when moved onto it.
    moved = one.quad - one.quad.mean(axis=0)
    there = other.quad - other.quad.mean(axis=0)
    turned = min(
        (np.roll(there[::way], by, axis=0) for way in (1, -1) for by in range(4)),
        key=lambda quad: float(np.abs(quad - moved).sum()),
    )
    first, second = one.quad, turned + other.quad.mean(axis=0)
    if touching:
        yield 2 * first - second
        yield 2 * second - first
        return
    # In sides of the first: two steps along one of them, none along the other.
    sides = np.column_stack(
        [(first[1] - first[0] + first[2] - first[3]) / 2, (first[3] - first[0] + first[2] - first[1]) / 2]
    )
    if abs(np.linalg.det(sides)) < 1 or abs(np.log(one.area / other.area)) > np.log(_LIKE_AREA):
        return
    off, along = np.sort(np.abs(np.linalg.solve(sides, (second - first).mean(axis=0))))
    if _TWO_STEPS[0] < along < _TWO_STEPS[1] and off < _OFF_ROW:
        yield (first + second) / 2


def _completes(third: EvenArea, pair: tuple[EvenArea, EvenArea], linear: Array) -> bool:
    """Tell whether the three, ``linear`` (3, 3), are as even, as grey and as far apart as a set of cards."""
    if third.unevenness > _UNEVEN_BEYOND_PAIR * max(each.unevenness for each in pair) or third.border < _LEAST_BORDER:
        return False
    level = np.sort(linear[:, 1])
    chroma = chromaticity(linear)
    steps = level[1:] / level[:-1]
    grey = max(np.linalg.norm(chroma[2] - each) for each in chroma[:2])
    return bool(((steps > _LEVEL_RATIO[0]) & (steps < _LEVEL_RATIO[1])).all() and grey < _CHROMATICITY_IN_ROW)


def _overlaps(patch: EvenArea, others: Sequence[EvenArea]) -> bool:
    size = np.sqrt(patch.area)
    return any(
        np.linalg.norm(patch.quad.mean(axis=0) - each.quad.mean(axis=0)) < size / 2
        and abs(np.log(patch.area / each.area)) < np.log(_LIKE_AREA)
        for each in others
    )


def neighbours(patches: Sequence[EvenArea], linear: Array) -> Array:
    """Return (N, N) bool: touching patches of like size and chromaticity whose levels differ as card steps do."""
    centre = np.array([patch.quad.mean(axis=0) for patch in patches])
    area = np.array([patch.area for patch in patches])
    side = np.array([np.linalg.norm(patch.quad - np.roll(patch.quad, 1, axis=0), axis=1).max() for patch in patches])
    gap = np.linalg.norm(centre[:, None] - centre[None], axis=2) / np.minimum(side[:, None], side[None])
    chroma = chromaticity(linear)
    apart = np.linalg.norm(chroma[:, None] - chroma[None], axis=2)
    level = linear[:, 1]
    ratio = np.maximum(level[:, None] / level[None], level[None] / level[:, None])
    steps = (ratio > _LEVEL_RATIO[0]) & (ratio < _LEVEL_RATIO[1])
    alike = np.abs(np.log(area[:, None] / area[None])) < np.log(_LIKE_AREA)
    beside = steps & alike & (gap < _NEIGHBOUR_GAP) & (gap > 0.3)
    found = np.asarray(beside & (apart < _SAME_CHROMATICITY))
    # What continues the row of two is the third, though a tone curve bends its chromaticity away from theirs.
    for one, other in np.argwhere(found).tolist():
        third = np.linalg.norm(centre - (2 * centre[one] - centre[other]), axis=1) < _IN_ROW * side[one]
        lost = third & beside[one] & (apart[one] < _CHROMATICITY_IN_ROW)
        found[one, lost] = found[lost, one] = True
    return found


def lying_together(outlines: Sequence[Any]) -> list[int | None]:
    """Number the sets of outlines (N, 2) that lie side by side as cards of one size do, from 0; None for one alone.

    Cards that a person outlined are told by their places alone: what each is they have said.
    """
    quads = [np.asarray(outline, dtype=float) for outline in outlines]
    centre = [quad.mean(axis=0) for quad in quads]
    side = [float(np.linalg.norm(quad - np.roll(quad, 1, axis=0), axis=1).max()) for quad in quads]
    area = [max(_area(quad), 1.0) for quad in quads]
    number: list[int | None] = [None] * len(quads)
    sets = 0
    for start in range(len(quads)):
        waiting = [start] if number[start] is None else []
        found: list[int] = []
        while waiting:
            at = waiting.pop()
            found.append(at)
            waiting += [
                i
                for i in range(len(quads))
                if i not in found
                and i not in waiting
                and np.linalg.norm(centre[i] - centre[at]) < _NEIGHBOUR_GAP * min(side[i], side[at])
                and abs(np.log(area[i] / area[at])) < np.log(_LIKE_AREA)
            ]
        if len(found) > 1:
            for i in found:
                number[i] = sets
            sets += 1
    return number


def _area(quad: Array) -> float:
    x, y = quad.T
    return abs(float(x @ np.roll(y, -1) - y @ np.roll(x, -1))) / 2


def groups(beside: Array, level: Array, confidence: Array) -> list[int | None]:
    """Number the sets of neighbours from 0; None for a patch without any.

    Three that stand as white, grey and black do are a set of their own, likeliest first: a pale tile beside them is
    not of it.
    """
    group: list[int | None] = [None] * len(beside)
    number = 0
    # A whole row of cards beats two of them with a tile that happens to touch.
    for trio in sorted(trios(beside, level), key=lambda trio: -float(confidence[list(trio)].sum())):
        if all(group[i] is None for i in trio):
            for i in trio:
                group[i] = number
            number += 1
    free = np.array([each is None for each in group])
    for start in np.flatnonzero((beside & free).any(axis=1) & free).tolist():
        if group[start] is not None:
            continue
        waiting = [start]
        while waiting:
            at = waiting.pop()
            if group[at] is None:
                group[at] = number
                waiting += np.flatnonzero(beside[at] & free).tolist()
        number += 1
    return group


def trios(beside: Array, level: Array) -> set[tuple[int, int, int]]:
    """Return each three patches of which two lie beside a third, ``level`` (N,) a clear step apart, lightest first."""
    found = set()
    for middle in range(len(beside)):
        for one, other in combinations(np.flatnonzero(beside[middle]).tolist(), 2):
            lightest, between, darkest = sorted((middle, one, other), key=lambda i: -float(level[i]))
            steps = level[lightest] / level[between], level[between] / level[darkest]
            if all(_LEVEL_RATIO[0] < step < _LEVEL_RATIO[1] for step in steps):
                found.add((lightest, between, darkest))
    return found
