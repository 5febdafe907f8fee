"""The best choice of at most so many different paints: which places share one is part of the choice.

Every way to share is a task of its own with fewer places (203 ways for six places, 877 for seven: the Bell numbers).
The most that each could reach is told first, and those that cannot beat the best so far are left out.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.scheme.bounds import SLACK
from matcher.scheme.search import best_choice
from matcher.scheme.web import Found, Web, by_block

FloatArray = NDArray[np.floating[Any]]
Blocks = tuple[tuple[str, ...], ...]


def best_of_few(web: Web, places: Sequence[str], most: int) -> Found:
    """The best choice with at most ``most`` different paints in ``places``; all others are free."""
    # Of one paint there is one way only.
    free = best_choice(web) if most > 1 else Found({}, np.inf, True)
    if most > 1 and not free.rows:
        return free
    if free.rows and len({free.rows[place] for place in places}) <= most:
        return free
    # Once for all the ways.
    same = web.same_paint()
    ways = []
    for blocks in ways_to_share(tuple(places), min(most, len(places))):
        bound = _bound(web, blocks, same)
        if np.isfinite(bound):
            ways.append((bound, blocks))
    ways.sort(key=lambda way: -way[0])
    best = Found({}, -np.inf, True)
    proven = free.proven
    for bound, blocks in ways:
        # Nothing is better than the best of any number.
        if bound <= best.value or (proven and best.value >= free.value - SLACK):
            break
        found = best_choice(web.shared(blocks, same), known=best.value)
        proven &= found.proven
        if found.value > best.value:
            named = by_block(blocks)
            best = Found({place: found.rows[named.get(place, place)] for place in web.places}, found.value, True)
    return replace(best, proven=proven)


def ways_to_share(places: Sequence[str], count: int) -> Iterator[Blocks]:
    """Every way to part places into exactly ``count`` blocks; each block and the blocks in the order of the places.

    >>> list(ways_to_share(("walls", "trim"), 1)), len(list(ways_to_share("abcdef", 3)))
    ([(('walls', 'trim'),)], 90)
    """
    if len(places) < count or count < 1:
        return
    if len(places) == count:
        yield tuple((place,) for place in places)
        return
    *before, last = places
    for blocks in ways_to_share(before, count):
        for place in range(count):
            yield tuple((*block, last) if place == at else block for at, block in enumerate(blocks))
    for blocks in ways_to_share(before, count - 1):
        yield (*blocks, (last,))


def _bound(web: Web, blocks: Blocks, same: Mapping[tuple[str, str], FloatArray]) -> float:
    """The most that this way to share could reach; places that stay free are the same in all and left out."""
    total = 0.0
    inside = 0.0
    for block in blocks:
        worth = sum((web.own[place] for place in block), np.zeros(1))
        for pair, together in same.items():
            if set(pair) <= set(block):
                worth = worth + together
                inside += web.links[pair].most
        total += float(worth.max())
    asked = {place for block in blocks for place in block}
    free = sum(float(own.max()) for place, own in web.own.items() if place not in asked)
    return total + free + sum(link.most for link in web.links.values()) - inside
