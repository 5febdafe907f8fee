"""Other schemes that trade something: lighter or darker, warmer or cooler, quieter or bolder walls, chosen anew as a
whole.

``trade`` is a Reason of kind ``trade-lighter``, ``trade-darker``, ``trade-warmer``, ``trade-cooler``, ``trade-
quieter`` or ``trade-bolder``; its surface is the role that leads, its values ``lrv_step`` (points), ``warmth_step``
(-2..2), ``chroma_step`` (C*ab), each the alternative minus the scheme, and ``score_cost`` (0..1).

Trim and ceiling stay whites in every one of them: another direction is one of walls and furniture (common practice, no
published source).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.ranking import weights
from matcher.ranking.paint_columns import Paints
from matcher.ranking.question import Preferences
from matcher.ranking.score import role_fit
from matcher.ranking.shortlist import Reason
from matcher.scheme.search import Found, Rows, Task, lay_out, leading_rows, solve

# Steps that a client sees as a different direction. Assumptions.
_LRV_STEP, _WARMTH_STEP, _QUIETER, _BOLDER = 8.0, 0.25, 2.5, 5.0
# An alternative that gives up more than this share of the score is no fair offer (assumption).
_MOST_GIVEN_UP = 0.2
_LEADERS = ("walls", "cabinets", "island", "accent", "door", "trim", "ceiling")

Mask = NDArray[np.bool_]


def leading_role(roles: Mapping[str, Any], pinned: Mapping[str, int]) -> str | None:
    """The largest role that is free to change, or None."""
    return next((role for role in _LEADERS if role in roles and role not in pinned), None)


def find_alternatives(task: Task, paints: Paints, found: Found, leader: str) -> Iterator[tuple[str, Found, Reason]]:
    """Each direction's best scheme (kind, scheme, what it trades), where there is one worth offering."""
    task = with_whites(task, paints, found)
    base = found.rows[leader]
    lrv, warmth, chroma = (
        paints.lrv - paints.lrv[base],
        paints.warmth - paints.warmth[base],
        paints.chroma - paints.chroma[base],
    )
    directions: tuple[tuple[str, Mask], ...] = (
        ("lighter", lrv >= _LRV_STEP),
        ("darker", lrv <= -_LRV_STEP),
        # A blue that is less blue is no warmer scheme to anybody.
        ("warmer", (warmth >= _WARMTH_STEP) & (paints.warmth > 0)),
        ("cooler", (warmth <= -_WARMTH_STEP) & (paints.warmth < 0)),
        ("quieter", chroma <= -_QUIETER),
        ("bolder", chroma >= _BOLDER),
    )
    offered = [found.rows]
    allowed = np.zeros(len(paints.lrv), dtype=bool)
    allowed[task.allowed[leader]] = True
    for kind, other in _each_best(task, leader, {kind: np.flatnonzero(mask & allowed) for kind, mask in directions}):
        if other.rows in offered:
            continue
        offered.append(other.rows)
        cost = (found.value - other.value) / task.weight()
        if cost <= _MOST_GIVEN_UP * found.value / task.weight():
            row = other.rows[leader]
            values = (
                ("lrv_step", float(lrv[row])),
                ("warmth_step", float(warmth[row])),
                ("chroma_step", float(chroma[row])),
                ("score_cost", float(cost)),
            )
            yield kind, other, Reason(f"trade-{kind}", False, values, (leader,), min(max(float(cost), 0.0), 1.0))


def with_whites(task: Task, paints: Paints, found: Found) -> Task:
    """Return the task with trim and ceiling chosen among whites, or what ``found`` has there; what is pinned stays."""
    allowed = dict(task.allowed)
    for role in weights.WHITES.intersection(allowed):
        if len(allowed[role]) > 1:
            white = role_fit(role, paints, Preferences())[0][allowed[role]] >= weights.FIT_ENOUGH
            allowed[role] = np.union1d(allowed[role][white], [found.rows[role]])
    return replace(task, allowed=allowed)


def _each_best(task: Task, leader: str, directions: Mapping[str, Rows]) -> Iterator[tuple[str, Found]]:
    """The best scheme of leading rows in each direction that has rows of the leader, all laid out as one."""
    heads = {
        kind: leading_rows(replace(task, allowed={leader: rows}), leader)
        for kind, rows in directions.items()
        if len(rows)
    }
    if not heads:
        return
    leaders = np.unique(np.concatenate(list(heads.values())))
    tables = lay_out(task, {role: leaders if role == leader else leading_rows(task, role) for role in task.roles})
    for kind, head in heads.items():
        yield kind, solve(tables.narrowed(leader, np.searchsorted(leaders, head)))
