"""Which rows of each place could be part of a choice of at least some value: bounds that hide nothing.

Along a tree of links the most that can be reached with a row is worked out exactly, a message from each place to the
one before it (max-sum; Pearl 1988, Probabilistic Reasoning in Intelligent Systems, ch. 5); links that close a ring
count with the most that they can be worth. How a message is worked out: matcher/scheme/message.py.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.scheme.message import most_told
from matcher.scheme.web import Link, Rows, Web

FloatArray = NDArray[np.floating[Any]]

# Rounding of sums of scores: bounds must not cut an equal one.
SLACK = 1e-9


@dataclass(frozen=True, slots=True)
class _Step:
    """A place, the one before it on the tree, and the link told from that one."""

    place: str
    before: str
    link: Link


@dataclass(frozen=True, slots=True, eq=False)
class _Upwards:
    """What came up the tree: ``rows`` of each place, what each ``reaches`` with all places behind it, and the
    ``message`` of each place for the rows of the one before. ``rings`` is what the links beside the tree could be
    worth; rows that cannot be part of a choice of ``least`` are left out.
    """

    root: str
    steps: tuple[_Step, ...]
    rows: Mapping[str, Rows]
    reaches: Mapping[str, FloatArray]
    message: Mapping[str, FloatArray]
    rings: float
    least: float


def by_themselves(web: Web, value: float) -> dict[str, Rows]:
    """By place the rows that could be part of a choice of ``value``: what each is worth by itself, all else at its
    best.
    """
    best = {place: float(own.max()) for place, own in web.own.items()}
    total = sum(best.values()) + sum(link.most for link in web.links.values())
    found = {}
    for place, own in web.own.items():
        rows = np.flatnonzero(np.isfinite(own) & (own >= value - (total - best[place]) - SLACK))
        within = own[rows] - _spared(web.neighbours(place).values(), rows) >= value - (total - best[place]) - SLACK
        found[place] = rows[within]
    return found


def _spared(links: Iterable[Link], rows: Rows) -> FloatArray:
    """By how much all of some links, told from their place, are worth less to each of its rows than the most."""
    return sum((link.most - link.cap(rows) for link in links), np.zeros(len(rows)))


class Bounds:
    """The tree of a web, gone up once: asked for the rows that could reach one value after another.

    ``least``: rows that cannot be part of a choice of this value need not be looked at.
    """

    def __init__(self, web: Web, least: float) -> None:
        self._web = web
        self._up = _upwards(web, by_themselves(web, least), least)

    def most(self) -> float:
        """No choice is worth more."""
        reaches = self._up.reaches[self._up.root]
        return float(reaches.max(initial=-np.inf)) + self._up.rings

    def best_rows(self, count: int) -> dict[str, Rows]:
        """The so many rows of each place that promise most, beside those of the place before it."""
        return self._down(lambda reaches: np.argsort(-reaches, kind="stable")[:count])

    def possible(self, value: float) -> dict[str, Rows]:
        """The rows of each place that could be part of a choice of ``value``."""
        least = value - self._up.rings - SLACK
        return self._down(lambda reaches: np.flatnonzero(np.isfinite(reaches) & (reaches >= least)))

    def _down(self, keep: Any) -> dict[str, Rows]:
        up = self._up
        kept = {up.root: keep(up.reaches[up.root])}
        total = {up.root: up.reaches[up.root][kept[up.root]]}
        for step in up.steps:
            before, place = kept[step.before], step.place
            with np.errstate(invalid="ignore"):  # minus infinity less itself: a row that nothing can stand beside
                without = np.nan_to_num(total[step.before] - up.message[place][before], nan=-np.inf)
            enough = _needed(up.least - up.rings, up.reaches[place])
            reaches = up.reaches[place] + most_told(
                step.link.turned(), up.rows[place], up.rows[step.before][before], without, enough
            )
            kept[place] = keep(reaches)
            total[place] = reaches[kept[place]]
        return {place: np.sort(up.rows[place][rows]) for place, rows in kept.items()}


def _upwards(web: Web, rows: Mapping[str, Rows], least: float) -> _Upwards:
    root, steps = _tree(web)
    on_tree = {frozenset((step.place, step.before)) for step in steps}
    rings = float(sum(link.most for pair, link in web.links.items() if frozenset(pair) not in on_tree))
    rows = dict(rows)
    reaches = {place: web.own[place][rows[place]] for place in web.places}
    message: dict[str, FloatArray] = {}
    waiting = list(steps)
    while waiting:
        step = _soonest(waiting, rows)
        waiting.remove(step)
        before = step.before
        # What all else could be worth at the most, and so what a row needs.
        elsewhere = {root, *(one.place for one in waiting)} - {before}
        rest = rings + sum(one.link.most for one in waiting)
        rest += sum(float(reaches[place].max(initial=-np.inf)) for place in elsewhere)
        told_already = {one.place for one in steps if one.before == before and one.place in message}
        others = web.neighbours(before).items()
        spared = _spared((link for one, link in others if one not in {*told_already, step.place}), rows[before])
        enough = _needed(least - rest, reaches[before] - spared)
        told = most_told(step.link, rows[before], rows[step.place], reaches[step.place], enough)
        stays = told >= enough
        message[step.place] = told
        reaches[before] = reaches[before] + told
        rows[before], reaches[before] = rows[before][stays], reaches[before][stays]
        message.update(
            {one.place: message[one.place][stays] for one in steps if one.before == before and one.place in message}
        )
    return _Upwards(root, steps, rows, reaches, message, rings, least)


def _soonest(waiting: Sequence[_Step], rows: Mapping[str, Rows]) -> _Step:
    """The step with the fewest pairs of those whose places wait for no other: what it rules out spares the next."""
    ready = [step for step in waiting if all(step.place != other.before for other in waiting)]
    return min(ready, key=lambda step: len(rows[step.place]) * len(rows[step.before]))


def _needed(value: float, reaches: FloatArray) -> FloatArray:
    """What each row lacks to be part of a choice of ``value``; minus infinity where nothing is asked for."""
    if value == -np.inf:
        return np.full(len(reaches), -np.inf)
    return np.asarray(value - SLACK - reaches)


def _tree(web: Web) -> tuple[str, tuple[_Step, ...]]:
    """A place with the most links, and a tree from it over those links that are worth most; what is apart from it hangs
    on a link that is worth nothing.
    """
    root = max(web.places, key=lambda place: len(web.neighbours(place)))
    known, steps = {root}, list[_Step]()
    for _ in range(len(web.places) - 1):
        ahead = list(_ahead(web, known))
        if ahead:
            step = max(ahead, key=lambda one: one.link.most)
        else:
            step = _Step(next(place for place in web.places if place not in known), root, Link(0.0, ()))
        steps.append(step)
        known.add(step.place)
    return root, tuple(steps)


def _ahead(web: Web, known: set[str]) -> Iterator[_Step]:
    for before in web.places:
        if before in known:
            for place, link in web.neighbours(before).items():
                if place not in known:
                    yield _Step(place, before, link)
