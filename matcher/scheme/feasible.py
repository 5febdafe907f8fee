"""Can a set of wishes be kept at all, whatever the scheme is then worth? Exact: no paint is looked at but for its LRV
and whether it may be used.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.scheme.few_paints import ways_to_share
from matcher.scheme.wishes import Wish, steps_of

FloatArray = NDArray[np.floating[Any]]
Mask = NDArray[np.bool_]
Step = tuple[str, str, float, float]  # two places, and the least and the most that their LRV are apart


def can_be_kept(places: Sequence[str], wishes: Iterable[Wish], lrv: FloatArray) -> bool:
    """Tell whether one paint of the deck can be chosen for every place so that each wish is kept."""
    asked = list(wishes)
    masks = {place: np.ones(len(lrv), dtype=bool) for place in places}
    for wish in asked:
        if wish.keeps is not None:
            for place in wish.places:
                masks[place] = masks[place] & wish.keeps
    steps: list[Step] = [(wish.places[0], wish.places[1], *steps_of(wish)) for wish in asked if wish.kind == "contrast"]
    joined = [wish.places for wish in asked if wish.kind == "one-trim"]
    alone = [(place,) for place in places if not any(place in block for block in joined)]
    masks, steps = _shared(masks, steps, [*joined, *alone])
    few = [wish for wish in asked if wish.kind == "most-paints"]
    if not few:
        return _ok(masks, steps, lrv)
    counted = tuple(place for place in few[0].places if place in masks)
    others = [(place,) for place in masks if place not in counted]
    ways = ways_to_share(counted, min(int(few[0].number("most")), len(counted)))
    return any(_ok(*_shared(masks, steps, [*blocks, *others]), lrv) for blocks in ways)


def _shared(
    masks: Mapping[str, Mask], steps: Sequence[Step], blocks: Iterable[Sequence[str]]
) -> tuple[dict[str, Mask], list[Step]]:
    named = {place: block[0] for block in blocks for place in block}
    joined: dict[str, Mask] = {}
    for place, mask in masks.items():
        name = named[place]
        joined[name] = joined[name] & mask if name in joined else mask
    return joined, [(named[one], named[other], least, most) for one, other, least, most in steps]


def _ok(masks: Mapping[str, Mask], steps: Sequence[Step], lrv: FloatArray) -> bool:
    if not all(mask.any() for mask in masks.values()) or any(
        one == other and least > 0 for one, other, least, _ in steps
    ):
        return False
    between = _by_pair(steps)
    levels = {place: np.unique(lrv[masks[place]]) for step in between for place in step[:2]}
    return _levels_exist(levels, between)


def _by_pair(steps: Sequence[Step]) -> list[Step]:
    """One step for every two places: places that share a paint bring the wishes of both."""
    found: dict[tuple[str, str], tuple[float, float]] = {}
    for one, other, least, most in steps:
        if one != other:
            pair = (min(one, other), max(one, other))
            known = found.get(pair, (least, most))
            found[pair] = (max(known[0], least), min(known[1], most))
    return [(*pair, *step) for pair, step in found.items()]


def _levels_exist(levels: dict[str, FloatArray], steps: Sequence[Step]) -> bool:
    """Whether a level can be taken for each place; levels that stand alone are struck out first, then tried."""
    levels = dict(levels)
    changed = True
    while changed:
        changed = False
        for one, other, least, most in steps:
            for place, beside in ((one, other), (other, one)):
                kept = _beside(levels[place], levels[beside], least, most)
                if not kept.any():
                    return False
                changed |= not kept.all()
                levels[place] = levels[place][kept]
    # Where the wishes form no ring, every level that is left is part of an answer.
    open_places = [place for place in levels if len(levels[place]) > 1]
    if not _ring(steps) or not open_places:
        return True
    place = min(open_places, key=lambda one: len(levels[one]))
    return any(_levels_exist({**levels, place: levels[place][at : at + 1]}, steps) for at in range(len(levels[place])))


def _ring(steps: Sequence[Step]) -> bool:
    part: dict[str, str] = {}
    for one, other, _, _ in steps:
        first, second = part.setdefault(one, one), part.setdefault(other, other)
        if first == second:
            return True
        part = {place: first if name == second else name for place, name in part.items()}
    return False


def _beside(levels: FloatArray, others: FloatArray, least: float, most: float) -> Mask:
    """Whether some other level lies between ``least`` and ``most`` points off, above or below; both are sorted."""
    above = np.searchsorted(others, levels + most, "right") - np.searchsorted(others, levels + least, "left")
    below = np.searchsorted(others, levels - least, "right") - np.searchsorted(others, levels - most, "left")
    return np.asarray((above > 0) | (below > 0))
