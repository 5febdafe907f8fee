"""Wishes that cannot all be kept: which of them fight, and the least that has to give.

Which fight: a set of which none could be left out (a minimal unsatisfiable set). What has to give: the fewest wishes
without which the others can be kept, found as the smallest sets that hit every fight (Reiter 1987, Artificial
Intelligence 32, 57-95). Of sets as small, choices made already are given up last.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import combinations

from matcher.scheme.wishes import Wish

Kept = Callable[[Sequence[Wish]], bool]
# Ways to give way that are compared by the scheme they leave; more are seldom, and all give up as little.
MOST_WAYS = 3


@dataclass(frozen=True, slots=True, eq=False)
class Conflict:
    """``fight`` the wishes that cannot be kept together; ``ways`` the smallest sets to give up, each enough."""

    fight: tuple[Wish, ...]
    ways: tuple[tuple[Wish, ...], ...]


def conflict_of(wishes: Sequence[Wish], can_be_kept: Kept) -> Conflict | None:
    """Return what fights and what has to give; None where all can be kept."""
    if can_be_kept(wishes):
        return None
    fights = [_fight(wishes, can_be_kept)]
    while True:
        ways = _smallest(fights)
        enough = [way for way in ways if can_be_kept(_without(wishes, way))]
        if enough:
            given = enough[0]
            fighting = [fight for fight in fights if any(wish in fight for wish in given)]
            told = {id(wish): wish for fight in fighting for wish in fight}
            fewest = min(map(_choices, enough))
            enough = [way for way in enough if _choices(way) == fewest]
            return Conflict(tuple(wish for wish in wishes if id(wish) in told), tuple(enough[:MOST_WAYS]))
        fights.append(_fight(_without(wishes, ways[0]), can_be_kept))


def _without(wishes: Sequence[Wish], given: Sequence[Wish]) -> list[Wish]:
    return [wish for wish in wishes if all(wish is not one for one in given)]


def _fight(wishes: Sequence[Wish], can_be_kept: Kept) -> list[Wish]:
    """Wishes of which none could be left out for the others to fight."""
    kept = list(wishes)
    for wish in wishes:
        rest = _without(kept, [wish])
        if not can_be_kept(rest):
            kept = rest
    return kept


def _choices(given: Sequence[Wish]) -> int:
    """How many of some wishes are choices that were made already."""
    return sum(wish.kind == "pin" for wish in given)


def _smallest(fights: Sequence[Sequence[Wish]]) -> list[tuple[Wish, ...]]:
    """The smallest sets that hold a wish of every fight, those first that give up no choice made already."""
    free = [[wish for wish in fight if wish.droppable] for fight in fights]
    every = list({id(wish): wish for fight in free for wish in fight}.values())
    for count in range(1, len(every) + 1):
        hits = [
            some
            for some in combinations(every, count)
            if all(any(wish is one for wish in fight for one in some) for fight in free)
        ]
        if hits:
            return sorted(hits, key=_choices)
    raise AssertionError("what is settled elsewhere can always be kept")
