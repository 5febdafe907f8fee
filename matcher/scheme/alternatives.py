"""Other schemes that trade something: lighter or darker, warmer or cooler, quieter or bolder walls, or one paint fewer
to buy; chosen anew as a whole, under the same wishes.

``trade`` is a Reason of kind ``trade-lighter``, ``trade-darker``, ``trade-warmer``, ``trade-cooler``, ``trade-
quieter`` or ``trade-bolder``; its surface is the role that leads, its values ``lrv_step`` (points), ``warmth_step``
(-2..2), ``chroma_step`` (C*ab), each the alternative minus the scheme, and ``score_cost`` (0..1). That of
``trade-fewer`` names the roles that come to share a paint, and has ``paints``, how many there are to buy, and
``score_cost``.

Trim and ceiling stay whites in every one of them: another direction is one of walls and furniture (common practice, no
published source). Rooms seen from this one keep the paints of the scheme.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.ranking import weights
from matcher.ranking.paint_columns import Paints
from matcher.ranking.question import Preferences
from matcher.ranking.score import role_fit
from matcher.ranking.shortlist import Reason
from matcher.scheme.choosing import Chosen
from matcher.scheme.few_paints import best_of_few
from matcher.scheme.search import good_choice, leading_rows
from matcher.scheme.tables import lay_out, solve
from matcher.scheme.web import Found, Rows, Web
from matcher.scheme.wishes import under

# Steps that a client sees as a different direction. Assumptions.
_LRV_STEP, _WARMTH_STEP, _QUIETER, _BOLDER = 8.0, 0.25, 2.5, 5.0
# An alternative that gives up more than this share of the score is no fair offer (assumption).
_MOST_GIVEN_UP = 0.2
_LEADERS = ("walls", "cabinets", "island", "accent", "door", "trim", "ceiling")
# Paints of a place that are looked at: these schemes are offered, none is said to be the best of its kind.
_LEADING = 32
# A scheme of so many paints or fewer has none to spare.
_FEWEST_PAINTS = 2

Mask = NDArray[np.bool_]
Offer = tuple[str, Mapping[str, int], float, Reason]


def leading_role(roles: Mapping[str, Any], pinned: Mapping[str, int]) -> str | None:
    """The largest role that is free to change, or None."""
    return next((role for role in _LEADERS if role in roles and role not in pinned), None)


def find_alternatives(chosen: Chosen, paints: Paints, leader: str) -> Iterator[Offer]:
    """Each direction's best scheme where there is one worth offering: its kind, its rows by role, how much of the score
    it costs (0..1), and what it trades.
    """
    base = _Base.of(chosen, paints)
    offered = [base.rows]
    most = _MOST_GIVEN_UP * base.value / base.weight
    for kind, found in (*_each_best(base, paints, leader), *_fewer(base)):
        other = base.expanded(found.rows)
        cost = (base.value - base.worth(other)) / base.weight
        if other in offered or cost > most:
            continue
        offered.append(other)
        yield kind, other, cost, _trade(kind, cost, paints, base.rows, other, leader)


@dataclass(frozen=True, slots=True, eq=False)
class _Base:
    """The scheme to differ from: ``rows`` by role, their ``value`` of ``weight``; the ``web`` of this room alone under
    its wishes, all else settled, in which roles that have to share a paint are one place, ``named`` by role.
    """

    rows: Mapping[str, int]
    value: float
    weight: float
    web: Web
    whole: Web
    named: Mapping[str, str]
    few: bool

    @classmethod
    def of(cls, chosen: Chosen, paints: Paints) -> _Base:
        task, rows = chosen.tasks[0], chosen.found.rows
        web = under(chosen.web, chosen.wishes, paints.lrv)
        web = web.settled({place: row for place, row in rows.items() if place not in task.roles})
        if any(wish.kind == "one-trim" for wish in chosen.wishes):
            web = web.only({"trim": np.array([rows["trim"]])})
        web = _with_whites(web, task.roles, paints, rows)
        own = {role: rows[role] for role in task.roles}
        named = {role: role for role in task.roles}
        few = any(wish.kind == "most-paints" for wish in chosen.wishes)
        if few:
            named = {role: next(one for one in task.roles if own[one] == own[role]) for role in task.roles}
            blocks = [tuple(role for role in named if named[role] == name) for name in dict.fromkeys(named.values())]
            web = web.shared(blocks)
        whole = task.web()
        return cls(own, worth_of(whole, own), task.weight(), web, whole, named, few)

    def worth(self, rows: Mapping[str, int]) -> float:
        """What other rows are worth in this room."""
        return worth_of(self.whole, rows)

    def expanded(self, rows: Mapping[str, int]) -> dict[str, int]:
        """Rows by place as rows by role."""
        return {role: rows[name] for role, name in self.named.items()}


def worth_of(web: Web, rows: Mapping[str, int]) -> float:
    """The value of a choice (rows by place)."""
    alone = sum(float(own[rows[place]]) for place, own in web.own.items())
    pairs = (link.worth(np.array([rows[one]]), np.array([rows[other]])) for (one, other), link in web.links.items())
    return alone + sum(float(pair[0]) for pair in pairs)


def _with_whites(web: Web, roles: tuple[str, ...], paints: Paints, rows: Mapping[str, int]) -> Web:
    """Return the web with trim and ceiling chosen among whites, or what the scheme has there; what is settled stays."""
    allowed = {}
    for role in sorted(weights.WHITES.intersection(roles)):
        free = web.rows(role)
        if len(free) > 1:
            white = role_fit(role, paints, Preferences())[0][free] >= weights.FIT_ENOUGH
            allowed[role] = free[white | (free == rows[role])]
    return web.only(allowed)


def _each_best(base: _Base, paints: Paints, leader: str) -> Iterator[tuple[str, Found]]:
    """The best scheme of leading rows in each direction that has rows of the leader, all laid out as one."""
    place, row = base.named[leader], base.rows[leader]
    own = base.web.own[place]
    heads = {
        kind: leading_rows(np.where(mask, own, -np.inf), _LEADING)
        for kind, mask in _directions(paints, row).items()
        if np.isfinite(own[mask]).any()
    }
    if not heads:
        return
    leaders = np.unique(np.concatenate(list(heads.values())))
    rows = {one: leading_rows(values, _LEADING) for one, values in base.web.own.items()}
    tables = lay_out(base.web, {**rows, place: leaders})
    for kind, head in heads.items():
        found = solve(tables.narrowed(place, np.searchsorted(leaders, head)))
        if not found.rows:
            # What leads by itself cannot stand together under these wishes.
            found = good_choice(base.web.only({place: head}))
        if found.rows:
            yield kind, found


def _directions(paints: Paints, row: int) -> dict[str, Mask]:
    lrv, warmth, chroma = (column - column[row] for column in (paints.lrv, paints.warmth, paints.chroma))
    return {
        "lighter": lrv >= _LRV_STEP,
        "darker": lrv <= -_LRV_STEP,
        # A blue that is less blue is no warmer scheme to anybody.
        "warmer": (warmth >= _WARMTH_STEP) & (paints.warmth > 0),
        "cooler": (warmth <= -_WARMTH_STEP) & (paints.warmth < 0),
        "quieter": chroma <= -_QUIETER,
        "bolder": chroma >= _BOLDER,
    }


def _fewer(base: _Base) -> Iterator[tuple[str, Found]]:
    """One paint fewer than the scheme has, of the paints that lead in any role."""
    count = len(set(base.rows.values()))
    if base.few or count <= _FEWEST_PAINTS:
        return
    leading: Rows = np.unique(np.concatenate([leading_rows(own, _LEADING) for own in base.web.own.values()]))
    found = best_of_few(base.web.only(dict.fromkeys(base.rows, leading)), tuple(base.rows), count - 1)
    if found.rows:
        yield "fewer", found


def _trade(
    kind: str, cost: float, paints: Paints, before: Mapping[str, int], after: Mapping[str, int], leader: str
) -> Reason:
    weight = min(max(cost, 0.0), 1.0)
    if kind == "fewer":
        values: tuple[tuple[str, float | str], ...] = (
            ("paints", float(len(set(after.values())))),
            ("score_cost", cost),
        )
        return Reason(f"trade-{kind}", False, values, _newly_shared(before, after), weight)
    row, base = after[leader], before[leader]
    steps = (
        (name, float(column[row] - column[base]))
        for name, column in (("lrv_step", paints.lrv), ("warmth_step", paints.warmth), ("chroma_step", paints.chroma))
    )
    return Reason(f"trade-{kind}", False, (*steps, ("score_cost", cost)), (leader,), weight)


def _newly_shared(before: Mapping[str, int], after: Mapping[str, int]) -> tuple[str, ...]:
    """The largest group of roles that share a paint and did not all share one before."""
    groups = [tuple(role for role in after if after[role] == row) for row in dict.fromkeys(after.values())]
    new = [group for group in groups if len({before[role] for role in group}) > 1]
    return max(new, key=len, default=tuple(after))
