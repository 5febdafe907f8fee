"""What a place tells the one before it: the most that each row there can come to with all that is behind.

Few rows have to be looked at: from the best on, until what is left cannot beat what was found. Where that are still
many pairs, they are ruled out a group of rows at a time, by how they look.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.scheme.grouping import alike, each_of, runs, same
from matcher.scheme.web import Covered, Groups, Link, Rows

FloatArray = NDArray[np.floating[Any]]

# Rows that a message looks at first, and at most in one go; worths worked out in one go, so that they stay in the
# processor's cache.
_FIRST, _MOST, _AT_ONCE = 24, 512, 1 << 16
# Pairs are worked out one by one while a ceiling leaves fewer than this share of them (assumption: gathering them costs
# about as much as their worth).
_SIFTED, _TRY_AGAIN = 0.25, 4
# More pairs than this are told group by group (assumption: grouping costs about as much), so many rows and groups in
# one go.
_MANY_PAIRS, _GROUPS_AT_ONCE = 1 << 23, 1 << 20


def most_told(link: Link, rows: Rows, others: Rows, reaches: FloatArray, enough: FloatArray) -> FloatArray:
    """(A,): for each of ``rows`` the most of what it is worth with one of ``others`` and what that one ``reaches``;
    where that is not ``enough`` (A,), it may be told as less, or as minus infinity.
    """
    told = _Told(link, rows, others, reaches, enough, np.full(len(rows), -np.inf))
    # By what each could come to with the best that there is for it.
    cap, whole = link.cap(rows), reaches + link.turned().cap(others)
    order = np.argsort(-whole, kind="stable")
    order = order[: np.isfinite(reaches).sum()]
    # What those from each place on reach at the most.
    ahead = np.maximum.accumulate(reaches[order][::-1])[::-1]
    start, size = 0, _FIRST
    while start < len(order):
        possible = np.minimum(whole[order[start]], ahead[start] + cap)
        open_rows = np.flatnonzero((told.best < possible) & (enough <= possible))
        if not len(open_rows):
            break
        left, tried = len(open_rows) * (len(order) - start), len(open_rows) * start
        if link.looks is not None and left > _MANY_PAIRS and (size == _MOST or tried > _MANY_PAIRS // 4):
            told.best[open_rows] = _by_looks(link, link.looks, told.only(open_rows, order[start:]))
            break
        told.look(open_rows, order[start : start + size])
        start, size = start + size, min(2 * size, _MOST)
    return told.best


class _Told:
    """The ``best`` (A,) found so far of each of ``rows`` with ``others`` and what these ``reaches``."""

    def __init__(
        self, link: Link, rows: Rows, others: Rows, reaches: FloatArray, enough: FloatArray, best: FloatArray
    ) -> None:
        self.link, self.rows, self.others, self.reaches, self.enough = link, rows, others, reaches, enough
        self.best = best
        self._sifting, self._tried = True, 0

    def only(self, some: Rows, block: Rows) -> _Told:
        """The same of some of the rows and some of the others, by their places."""
        return _Told(
            self.link, self.rows[some], self.others[block], self.reaches[block], self.enough[some], self.best[some]
        )

    def need(self, some: Rows) -> FloatArray:
        """What a pair of each of some rows has to come to, so that it tells anything new."""
        return np.maximum(self.enough[some], np.nextafter(self.best[some], np.inf))

    def look(self, some: Rows, block: Rows) -> None:
        """Look at some of the rows, each beside all of a block of the others, by their places."""
        # The farther from the best, the more a ceiling rules out.
        self._tried, self._sifting = self._tried + 1, self._sifting or self._tried % _TRY_AGAIN == 0
        at_once = max(1, _AT_ONCE // len(block))
        for first in range(0, len(some), at_once):
            self._sift(some[first : first + at_once], block)

    def _sift(self, some: Rows, block: Rows) -> None:
        rows, others, reaches = self.rows[some][:, None], self.others[block][None, :], self.reaches[block]
        ceiling = self.link.ceiling(rows, others) if self._sifting else None
        if ceiling is None:
            worth = self.link.worth(rows, others) + reaches
            self.best[some] = np.maximum(self.best[some], worth.max(axis=1))
            return
        one, other = np.nonzero(ceiling + reaches >= self.need(some)[:, None])
        self._sifting = len(one) < _SIFTED * ceiling.size
        self._pairs(some[one], block[other])

    def look_singly(self, some: Rows, groups: Groups, told: Rows) -> None:
        """Look at some of the rows, each beside all of a group of the others that is told with it, by their places; a
        row is told in one piece.
        """
        for part in _parts(groups.sizes()[told], _AT_ONCE):
            sizes, other = each_of(groups, told[part])
            one = np.repeat(some[part], sizes)
            ceiling = self.link.ceiling(self.rows[one], self.others[other])
            if ceiling is not None:
                left = np.flatnonzero(ceiling + self.reaches[other] >= self.need(one))
                one, other = one[left], other[left]
            self._pairs(one, other)

    def _pairs(self, one: Rows, other: Rows) -> None:
        if len(one):
            worth = self.link.worth(self.rows[one], self.others[other]) + self.reaches[other]
            starts = runs(one)
            told = one[starts]
            self.best[told] = np.maximum(self.best[told], np.maximum.reduceat(worth, starts))


def _by_looks(link: Link, looks: FloatArray, told: _Told) -> FloatArray:
    """The best of every row. What looks the same is worth the same, and is looked at once."""
    mine, theirs = same(looks[told.rows]), same(looks[told.others])
    once = _Told(
        link,
        told.rows[mine.rows[mine.starts]],
        told.others[theirs.rows[theirs.starts]],
        np.maximum.reduceat(told.reaches[theirs.rows], theirs.starts),
        np.minimum.reduceat(told.enough[mine.rows], mine.starts),
        np.maximum.reduceat(told.best[mine.rows], mine.starts),
    )
    if link.covers:
        _by_groups(once, alike(looks[once.rows]), alike(looks[once.others]))
    else:
        for block in np.split(np.arange(len(once.others)), np.arange(_MOST, len(once.others), _MOST)):
            once.look(np.arange(len(once.rows)), block)
    told.best[mine.rows] = np.repeat(once.best, mine.sizes())
    return told.best


def _by_groups(told: _Told, firsts: Groups, seconds: Groups) -> None:
    """Look at every row, but only beside the groups of others that could still be better: told first of groups of rows,
    then of each row, then of pairs.
    """
    covered, by_row = _covered(told, firsts, seconds)
    highest = np.maximum.reduceat(told.reaches[seconds.rows], seconds.starts)
    groups = np.arange(len(seconds.starts))
    for part in _parts(firsts.sizes() * len(groups), _GROUPS_AT_ONCE):
        need = np.minimum.reduceat(told.need(firsts.rows), firsts.starts)[part]
        group, near = np.nonzero(covered(part[:, None], groups[None, :]) + highest >= need[:, None])
        sizes, some = each_of(firsts, part[group])
        near = np.repeat(near, sizes)
        most = covered(by_row + some, near) + highest[near]
        left = np.flatnonzero(most >= told.need(some))
        left = left[np.argsort(some[left], kind="stable")]
        if len(left):
            _look_beside(told, some[left], seconds, near[left], most[left])


def _covered(told: _Told, firsts: Groups, seconds: Groups) -> tuple[Covered, int]:
    """The cover of groups of rows beside groups of others, and at which place, as groups of one, the rows follow."""
    every = np.arange(len(told.rows))
    rows = told.rows[np.concatenate([firsts.rows, every])]
    starts = np.concatenate([firsts.starts, len(firsts.rows) + every])
    covered = told.link.cover(Groups(rows, starts), Groups(told.others[seconds.rows], seconds.starts))
    return covered, len(firsts.starts)


def _look_beside(told: _Told, some: Rows, seconds: Groups, near: Rows, most: FloatArray) -> None:
    """Look at some rows, in their order, each beside the group of others that is ``near``, where at the ``most`` so
    much is possible: at the most promising group of each row first.
    """
    order = np.lexsort((-most, some))
    some, near, most = some[order], near[order], most[order]
    count = 1
    while len(some):
        starts = runs(some)
        place = np.arange(len(some)) - np.repeat(starts, np.diff(starts, append=len(some)))
        now = place < count
        told.look_singly(some[now], seconds, near[now])
        left = ~now & (most >= told.need(some))
        some, near, most, count = some[left], near[left], most[left], 2 * count


def _parts(sizes: Rows, at_once: int) -> Iterator[Rows]:
    """The places of some sizes, in parts that come to about as much as is worked out in one go."""
    parts = np.flatnonzero(np.diff(np.cumsum(sizes) // at_once, prepend=-1))
    yield from np.split(np.arange(len(sizes)), parts[1:])
