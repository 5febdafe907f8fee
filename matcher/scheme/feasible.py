"""Can a set of wishes be kept at all, whatever the scheme is then worth? Exact: no paint is looked at but for its LRV
and whether it may be used.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Mapping, Sequence
from itertools import permutations
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.scheme.few_paints import ways_to_share
from matcher.scheme.web import by_block
from matcher.scheme.wishes import Wish, steps_of, tenths

FloatArray = NDArray[np.floating[Any]]
Mask = NDArray[np.bool_]
Step = tuple[str, str, int, int]  # two places, and the least and the most that their LRV are apart, tenths of a point


def can_be_kept(places: Sequence[str], wishes: Iterable[Wish], lrv: FloatArray) -> bool:
    """Tell whether one paint of the deck can be chosen for every place so that each wish is kept."""
    asked = list(wishes)
    masks = {place: np.ones(len(lrv), dtype=bool) for place in places}
    for wish in asked:
        if wish.keeps is not None:
            for place in wish.places:
                masks[place] = masks[place] & wish.keeps
    steps: list[Step] = [(wish.places[0], wish.places[1], *steps_of(wish)) for wish in asked if wish.kind == "contrast"]
    masks, steps = _shared(masks, steps, [wish.places for wish in asked if wish.kind == "one-trim"])
    few = [wish for wish in asked if wish.kind == "most-paints"]
    if not few:
        return _ok(masks, steps, lrv)
    counted = tuple(place for place in few[0].places if place in masks)
    ways = ways_to_share(counted, min(int(few[0].number("most")), len(counted)))
    return any(_ok(*_shared(masks, steps, blocks), lrv) for blocks in ways)


def _shared(
    masks: Mapping[str, Mask], steps: Sequence[Step], blocks: Iterable[Sequence[str]]
) -> tuple[dict[str, Mask], list[Step]]:
    """The same with one paint for all places of a block, as in :meth:`matcher.scheme.web.Web.shared`."""
    named = by_block(blocks)
    joined: dict[str, Mask] = {}
    for place, mask in masks.items():
        name = named.get(place, place)
        joined[name] = joined[name] & mask if name in joined else mask
    return joined, [(named.get(one, one), named.get(other, other), least, most) for one, other, least, most in steps]


def _ok(masks: Mapping[str, Mask], steps: Sequence[Step], lrv: FloatArray) -> bool:
    if not all(mask.any() for mask in masks.values()) or any(one == two and least > 0 for one, two, least, _ in steps):
        return False
    between = _by_pair(steps)
    levels = {place: tenths(lrv[masks[place]]) for step in between for place in step[:2]}
    return all(
        _levels_exist({place: np.unique(levels[place]).tolist() for place in part}, between) for part in _parts(between)
    )


def _by_pair(steps: Sequence[Step]) -> list[Step]:
    """One step for every two places: places that share a paint bring the wishes of both."""
    found: dict[tuple[str, str], tuple[int, int]] = {}
    for one, other, least, most in steps:
        if one != other:
            pair = (min(one, other), max(one, other))
            known = found.get(pair, (least, most))
            found[pair] = (max(known[0], least), min(known[1], most))
    return [(*pair, *step) for pair, step in found.items()]


def _parts(steps: Sequence[Step]) -> set[frozenset[str]]:
    """The places that hang together."""
    part = {place: frozenset({place}) for step in steps for place in step[:2]}
    for one, other, _, _ in steps:
        joined = part[one] | part[other]
        part |= dict.fromkeys(joined, joined)
    return set(part.values())


def _levels_exist(levels: Mapping[str, list[int]], steps: Sequence[Step]) -> bool:
    """Whether a level can be taken for each place, whichever is lighter: tried by every order from dark to light.

    In one order all that is asked is that one level is at least another and so much more. Then the lowest levels that
    keep it are found by raising whichever is too low (the constraints are closed under minimum: Jeavons & Cooper 1995,
    Artificial Intelligence 79, 327-339).
    """
    asked = [step for step in steps if step[0] in levels]
    return any(_rises({place: at for at, place in enumerate(order)}, levels, asked) for order in permutations(levels))


def _rises(order: Mapping[str, int], levels: Mapping[str, list[int]], steps: Sequence[Step]) -> bool:
    least: list[tuple[str, str, int]] = []  # a place, another, and how much higher the first is at least
    for one, other, apart, most in steps:
        low, high = (one, other) if order[one] < order[other] else (other, one)
        least += [(high, low, apart), (low, high, -most)]
    at = {place: values[0] for place, values in levels.items()}
    raised = True
    while raised:
        raised = False
        for place, other, step in least:
            if at[place] < at[other] + step:
                above = bisect_left(levels[place], at[other] + step)
                if above == len(levels[place]):
                    return False
                at[place], raised = levels[place][above], True
    return True
