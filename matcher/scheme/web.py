"""Places to be painted and what holds between them: the one form in which a search is told its task.

A place is a role of a room, or several that share one paint. Each paint is worth something in each place by itself, and
two places that touch are worth something together; the best choice is that of the highest sum.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.floating[Any]]
Rows = NDArray[np.intp]
# Of rows of the deck for the first place and for the second, broadcast: what they are worth together, minus infinity
# where they may not be.
Worth = Callable[[Rows, Rows], FloatArray]


class Groups(NamedTuple):
    """Rows of the deck group by group: where among the ``rows`` each ``starts``."""

    rows: Rows
    starts: Rows

    def sizes(self) -> Rows:
        """How many rows each group has."""
        return np.diff(self.starts, append=len(self.rows))


# Of groups of rows for the first place and for the second: what then tells of any two of them, by their places,
# broadcast, no less than the most that two of their rows are worth together.
Covered = Callable[[Any, Any], FloatArray]
Cover = Callable[[Groups, Groups], Covered]


@dataclass(frozen=True, slots=True, eq=False)
class Link:
    """What two places are worth together: the sum of ``parts``, never more than ``most``, nor, where there are
    ``caps``, than what they say of the row of the first place and of that of the second, (N,) each. ``ceilings``, where
    there are any, have a sum that is never less than that of the parts, and cost less; that of ``covers`` is the same
    of groups of rows. ``looks`` (N, columns), where told, is all that a part asks of a row: rows that look the same are
    worth the same.
    """

    most: float
    parts: tuple[Worth, ...]
    caps: tuple[FloatArray, FloatArray] | None = None
    ceilings: tuple[Worth, ...] = ()
    covers: tuple[Cover, ...] = ()
    looks: FloatArray | None = None

    def ceiling(self, first: Rows, second: Rows) -> FloatArray | None:
        """No less than :meth:`worth`, where that can be told at less cost."""
        if not self.ceilings:
            return None
        return np.asarray(sum((part(first, second) for part in self.ceilings), np.zeros(1)))

    def cover(self, first: Groups, second: Groups) -> Covered:
        """Tell of groups of rows no less than :meth:`worth` of any row of one with any of the other."""
        if not self.covers:
            return lambda one, other: np.full(np.broadcast_shapes(np.shape(one), np.shape(other)), self.most)
        parts = [part(first, second) for part in self.covers]
        return lambda one, other: np.asarray(sum((part(one, other) for part in parts), np.zeros(1)))

    def worth(self, first: Rows, second: Rows) -> FloatArray:
        """Rows of both, broadcast."""
        if not self.parts:
            return np.zeros(np.broadcast_shapes(first.shape, second.shape))
        return np.asarray(sum((part(first, second) for part in self.parts), np.zeros(1)))

    def turned(self) -> Link:
        """The same with the places told in the other order."""
        caps = None if self.caps is None else (self.caps[1], self.caps[0])
        parts, ceilings = (tuple(_turned(part) for part in each) for each in (self.parts, self.ceilings))
        covers = tuple(_turned_cover(part) for part in self.covers)
        return Link(self.most, parts, caps, ceilings, covers, self.looks)

    def and_also(self, other: Link) -> Link:
        """Both together."""
        caps = None
        if self.caps is not None or other.caps is not None:
            (one, two), (three, four) = (link.caps or (link.most, link.most) for link in (self, other))
            caps = np.asarray(one + three), np.asarray(two + four)
        # What has no ceiling of its own is one.
        ceilings = tuple(each for link in (self, other) for each in link.ceilings or link.parts)
        cheaper = self.ceilings or other.ceilings
        covers = (self.cover, other.cover) if self.covers or other.covers else ()
        known = self.looks is not None and other.looks is not None
        looks = np.concatenate([self.looks, other.looks], axis=1) if known else None
        return Link(
            self.most + other.most, (*self.parts, *other.parts), caps, ceilings if cheaper else (), covers, looks
        )

    def cap(self, rows: Rows) -> FloatArray:
        """Return the most that it is worth to each of some rows of the first place."""
        return np.full(len(rows), self.most) if self.caps is None else np.minimum(self.caps[0][rows], self.most)


Links = dict[tuple[str, str], Link]


def _turned(part: Worth) -> Worth:
    return lambda first, second: part(second, first)


def _turned_cover(part: Cover) -> Cover:
    def cover(first: Groups, second: Groups) -> Covered:
        told = part(second, first)
        return lambda one, other: told(other, one)

    return cover


def add_link(links: Links, one: str, other: str, link: Link) -> None:
    """Add to ``links`` what two places are worth together besides, whichever way round they are told there."""
    if (other, one) in links:
        links[other, one] = links[other, one].and_also(link.turned())
    else:
        links[one, other] = links[one, other].and_also(link) if (one, other) in links else link


@dataclass(frozen=True, slots=True, eq=False)
class Web:
    """``own`` (N,) by place what each paint is worth there, minus infinity where it may not be; ``links`` by two
    places, each pair told once.
    """

    own: Mapping[str, FloatArray]
    links: Mapping[tuple[str, str], Link]

    @property
    def places(self) -> tuple[str, ...]:
        """The places, in their order."""
        return tuple(self.own)

    def neighbours(self, place: str) -> dict[str, Link]:
        """The places that touch one, each with their link told from that one."""
        found = {other: link for (one, other), link in self.links.items() if one == place}
        return found | {one: link.turned() for (one, other), link in self.links.items() if other == place}

    def rows(self, place: str) -> Rows:
        """The rows that may be chosen for a place."""
        return np.flatnonzero(np.isfinite(self.own[place]))

    def only(self, allowed: Mapping[str, Rows]) -> Web:
        """The same with fewer rows to choose from in some places."""
        own = dict(self.own)
        for place, rows in allowed.items():
            kept = np.full(len(own[place]), -np.inf)
            kept[rows] = own[place][rows]
            own[place] = kept
        return Web(own, self.links)

    def settled(self, rows: Mapping[str, int]) -> Web:
        """The same without the places that are settled, by their rows, and with what those are worth to the others."""
        every = self._every_row()
        own = {place: values for place, values in self.own.items() if place not in rows}
        links: Links = {}
        for (one, other), link in self.links.items():
            if one in own and other in own:
                links[one, other] = link
            elif one in own:
                own[one] = own[one] + link.worth(every, np.array([rows[other]]))
            elif other in own:
                own[other] = own[other] + link.worth(np.array([rows[one]]), every)
        return Web(own, links)

    def same_paint(self) -> dict[tuple[str, str], FloatArray]:
        """(N,) by link what each paint is worth in both of its places; 0 where it may not be in one of them."""
        found: dict[tuple[str, str], FloatArray] = {}
        for (one, other), link in self.links.items():
            rows = np.flatnonzero(np.isfinite(self.own[one]) & np.isfinite(self.own[other]))
            found[one, other] = np.zeros(len(self.own[one]))
            found[one, other][rows] = link.worth(rows, rows)
        return found

    def shared(self, blocks: Iterable[Sequence[str]], same: Mapping[tuple[str, str], FloatArray] | None = None) -> Web:
        """The same with one paint for all places of a block, which is called by its first; a place of no block stays
        by itself. ``same`` is :meth:`same_paint`, where at hand.
        """
        same = self.same_paint() if same is None else same
        named = by_block(blocks)
        own: dict[str, FloatArray] = {}
        for place, values in self.own.items():
            name = named.get(place, place)
            own[name] = own[name] + values if name in own else values
        links: Links = {}
        for (one, other), link in self.links.items():
            first, second = named.get(one, one), named.get(other, other)
            if first == second:
                own[first] = own[first] + same[one, other]
            else:
                add_link(links, first, second, link)
        return Web(own, links)

    def _every_row(self) -> Rows:
        return np.arange(len(next(iter(self.own.values()))))


def by_block(blocks: Iterable[Sequence[str]]) -> dict[str, str]:
    """The name of each place of some blocks: the first of its block."""
    return {place: block[0] for block in blocks for place in block}


@dataclass(frozen=True, slots=True)
class Found:
    """Row by place, the value, and whether it is proven that no rows do better; no rows and minus infinity where
    nothing is possible.
    """

    rows: Mapping[str, int]
    value: float
    proven: bool
