"""The best combination of one paint a role, and whether it is proven to be the best of the whole deck.

A scheme's value is the weighted sum of each paint's own score and of each rule between two roles
(matcher/ranking/neighbours.py). The walls are tied to almost every role; with a wall paint fixed, the rest falls into
groups of at most two roles that do not touch each other (trim and ceiling, cabinets and island, accent, door), so each
is solved by itself and exactly.

First the best scheme among each role's leading paints is found. No paint can be part of a better one unless its own
score, with everything else at its best, reaches that value; the few that can are searched completely. Only then is the
result proven.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.ranking import weights
from matcher.ranking.neighbours import RULES, pair_fit

FloatArray = NDArray[np.floating[Any]]
Rows = NDArray[np.intp]

HUB = "walls"
_GROUPS = (("trim", "ceiling"), ("cabinets", "island"), ("accent",), ("door",))
# Paints a role that the first search looks at, and the second if the first leaves too much open.
_LEADING, _MORE_LEADING = 32, 128
# More survivors than this in one role and the proof is not attempted (time): the result then is the first search's.
_MOST_SURVIVORS = 400
# Wall paints that the last search looks at in one go.
_HUBS_AT_A_TIME = 128
# Rounding of sums of scores: bounds must not cut an equal one.
_SLACK = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Task:
    """``scores`` (N,) by role, in the order the roles are told.

    ``lab`` (N, 3); ``allowed`` rows by role (all, or a pin).
    """

    scores: Mapping[str, FloatArray]
    lab: FloatArray
    allowed: Mapping[str, Rows]

    @property
    def roles(self) -> tuple[str, ...]:
        """The roles of the scheme."""
        return tuple(self.scores)

    def rules(self) -> tuple[tuple[str, str], ...]:
        """The rules that speak of two of these roles."""
        return tuple(pair for pair in RULES if pair[0] in self.scores and pair[1] in self.scores)

    def weight(self) -> float:
        """What a scheme could reach if everything were perfect."""
        return sum(weights.ROLE_WEIGHTS[role] for role in self.roles) + weights.PAIR_WEIGHT * len(self.rules())


@dataclass(frozen=True, slots=True)
class Found:
    """Row by role, the value (up to ``Task.weight``), and whether it is proven that no allowed rows do better."""

    rows: Mapping[str, int]
    value: float
    proven: bool


def leading_rows(task: Task, role: str, count: int = _LEADING) -> Rows:
    """The allowed rows of a role that score best by themselves, as many as the first search looks at, in row order."""
    allowed = task.allowed[role]
    if len(allowed) <= count:
        return np.sort(allowed)
    own = task.scores[role][allowed]
    least = np.partition(own, -count)[-count]
    # Ties fall to the earlier row.
    better, equal = allowed[own > least], allowed[own == least]
    return np.sort(np.concatenate([better, equal[: count - len(better)]]))


def best_scheme(task: Task) -> Found:
    """The best scheme; the whole of the allowed rows is covered where it can be."""
    first = solve(lay_out(task, {role: leading_rows(task, role) for role in task.roles}))
    if all(len(task.allowed[role]) <= _LEADING for role in task.roles):
        return replace(first, proven=True)
    survivors = _survivors(task, first.value)
    if _too_many(survivors):
        first = solve(lay_out(task, {role: leading_rows(task, role, _MORE_LEADING) for role in task.roles}))
        survivors = _survivors(task, first.value)
    if _too_many(survivors):
        return first
    return replace(_best_of_survivors(replace(task, allowed=survivors), first.value), proven=True)


def _survivors(task: Task, value: float) -> dict[str, Rows]:
    """By role the rows that could be part of a scheme of at least ``value``: own score with all else at its best."""
    own = {role: weights.ROLE_WEIGHTS[role] * task.scores[role][task.allowed[role]] for role in task.roles}
    best = sum(float(values.max()) for values in own.values()) + weights.PAIR_WEIGHT * len(task.rules())
    return {
        role: task.allowed[role][values >= value - (best - float(values.max())) - _SLACK]
        for role, values in own.items()
    }


def _too_many(survivors: Mapping[str, Rows]) -> bool:
    return max(len(rows) for rows in survivors.values()) > _MOST_SURVIVORS


def _best_of_survivors(task: Task, value: float) -> Found:
    """Exact over the allowed rows, the best wall paints first: the poorer the walls, the fewer paints can join them."""
    if HUB not in task.scores:
        return solve(lay_out(task, task.allowed))
    hubs = task.allowed[HUB]
    best = Found({}, -np.inf, False)
    order = np.argsort(-task.scores[HUB][hubs], kind="stable")
    for start in range(0, len(hubs), _HUBS_AT_A_TIME):
        some = np.sort(hubs[order[start : start + _HUBS_AT_A_TIME]])
        left = _survivors(replace(task, allowed={**task.allowed, HUB: some}), value)
        if not all(len(rows) for rows in left.values()):
            break
        found = solve(lay_out(task, left))
        if found.value > best.value:
            best, value = found, max(found.value, value)
    return best


@dataclass(frozen=True, slots=True, eq=False)
class Tables:
    """Some rows of each role with their own weighted scores ``own``, and the weighted fits of each two roles that a
    rule speaks of: ``fits[other, role]`` is (rows of other, rows of role).
    """

    rows: Mapping[str, Rows]
    own: Mapping[str, FloatArray]
    fits: Mapping[tuple[str, str], FloatArray]

    def narrowed(self, role: str, places: Rows) -> Tables:
        """The same with only some of the rows of one role, given by their places."""
        fits = {
            pair: fit.take(places, axis=pair.index(role)) if role in pair else fit for pair, fit in self.fits.items()
        }
        rows, own = self.rows[role][places], self.own[role][places]
        return Tables({**self.rows, role: rows}, {**self.own, role: own}, fits)


def lay_out(task: Task, rows: Mapping[str, Rows]) -> Tables:
    """Score the given rows of each role of the task, and judge them beside each other."""
    own = {role: weights.ROLE_WEIGHTS[role] * task.scores[role][rows[role]] for role in task.roles}
    fits = {}
    for role, other in task.rules():
        beside, lab = (task.lab[rows[each]].astype(np.float32) for each in (other, role))
        fit = pair_fit(other, beside[:, None, :], role, lab[None, :, :])
        fits[other, role] = np.asarray(weights.PAIR_WEIGHT * fit.astype(np.float64))
    return Tables({role: rows[role] for role in task.roles}, own, fits)


def solve(tables: Tables) -> Found:
    """Exact over the rows of the tables."""
    rows = tables.rows
    hub_value = tables.own[HUB] if HUB in rows else np.zeros(1)
    groups = [present for group in _GROUPS if (present := tuple(role for role in group if role in rows))]
    parts = [_Group(tables, group, len(hub_value)) for group in groups]
    bound = hub_value + sum((part.bound() for part in parts), np.zeros(1))
    best_hub, best_value = -1, -np.inf
    best_choice: list[tuple[int, ...]] = []
    for hub in np.argsort(-bound, kind="stable"):
        if bound[hub] <= best_value:
            break
        solved = [part.best(int(hub)) for part in parts]
        value = float(hub_value[hub]) + sum(part for part, _ in solved)
        if value > best_value:
            best_hub, best_value, best_choice = int(hub), value, [choice for _, choice in solved]
    chosen = {HUB: int(rows[HUB][best_hub])} if HUB in rows else {}
    for group, choice in zip(groups, best_choice, strict=True):
        chosen |= {role: int(rows[role][place]) for role, place in zip(group, choice, strict=True)}
    return Found({role: chosen[role] for role in rows}, best_value, False)


class _Group:
    """One or two roles that touch the walls and each other only."""

    def __init__(self, tables: Tables, group: Sequence[str], hubs: int) -> None:
        self._beside_hub = []
        for role in group:
            table = np.broadcast_to(tables.own[role], (hubs, len(tables.own[role])))
            if (HUB, role) in tables.fits:
                table = table + tables.fits[HUB, role]
            self._beside_hub.append(table)
        self._between = None
        if len(group) == 2:
            shape = (len(tables.own[group[0]]), len(tables.own[group[1]]))
            self._between = tables.fits.get((group[0], group[1]), np.zeros(shape))

    def bound(self) -> FloatArray:
        """(hubs,) what the group can reach at most beside each wall paint."""
        total = sum((table.max(axis=1) for table in self._beside_hub), np.zeros(1))
        return np.asarray(total if self._between is None else total + self._between.max())

    def best(self, hub: int) -> tuple[float, tuple[int, ...]]:
        """The group's best value beside one wall paint, and the place of the paint in each of its roles."""
        first = self._beside_hub[0][hub]
        if self._between is None:
            place = int(first.argmax())
            return float(first[place]), (place,)
        total = first[:, None] + self._beside_hub[1][hub] + self._between
        place = int(total.argmax())
        one, other = divmod(place, total.shape[1])
        return float(total[one, other]), (one, other)
