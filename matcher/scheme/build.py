"""One paint a role, chosen together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.harmony.undertone import undertones
from matcher.paints.deck import Deck
from matcher.ranking import weights
from matcher.ranking.clashes import worst_severity
from matcher.ranking.rank import Prepared, Setting, evidence_of, prepare, score_role, setting
from matcher.ranking.reasons import reasons_for
from matcher.scheme.alternatives import find_alternatives, leading_role
from matcher.scheme.checks import measure
from matcher.scheme.model import Alternative, RolePaint, Scheme
from matcher.scheme.search import Found, Task, best_scheme
from matcher.surfaces.model import Surface

FloatArray = NDArray[np.floating[Any]]


def build_scheme(
    roles: Sequence[str],
    surfaces: Sequence[Surface],
    deck: Deck,
    *,
    warmth: str = "either",
    lrv_range: tuple[float, float] | None = None,
    pins: Mapping[str, int] | None = None,
    facing: str | None = None,
    latitude: float | None = None,
    lamps_k: float | None = None,
    prepared: Prepared | None = None,
) -> Scheme:
    """The scheme of the highest value for ``roles`` and the pinned roles (role to row of the deck).

    ``optimal`` is true only where the search covered every combination of the deck that could be better. Raises
    RequestError for an unknown role, ValueError without a role or a surface.
    """
    pinned = dict(pins or {})
    # Sorted by the fixed order of roles, so that the order they are asked in changes nothing.
    wanted = [role for role in (*weights.ROLES, *roles) if role in {*roles, *pinned}]
    wanted = list(dict.fromkeys(wanted))
    if not wanted:
        raise ValueError("a scheme needs at least one role")
    ready = prepare(surfaces, deck) if prepared is None else prepared
    asked = setting(warmth=warmth, lrv_range=lrv_range, facing=facing, latitude=latitude, lamps_k=lamps_k)
    every = np.arange(len(deck))
    task = Task(
        scores={role: _scores(role, ready, asked) for role in wanted},
        lab=ready.paints.lab,
        allowed={role: np.array([pinned[role]]) if role in pinned else every for role in wanted},
    )
    found = best_scheme(task)
    lab = {role: ready.paints.lab[row] for role, row in found.rows.items()}
    lrv = {role: float(ready.paints.lrv[row]) for role, row in found.rows.items()}
    return Scheme(
        roles=_role_paints(found, pinned, ready, asked),
        score=found.value / task.weight(),
        optimal=found.proven,
        checks=measure(lab, lrv),
        alternatives=_alternatives(task, found, pinned, ready),
    )


def _alternatives(task: Task, found: Found, pinned: Mapping[str, int], ready: Prepared) -> tuple[Alternative, ...]:
    """Their roles carry no reasons of their own: the trade says what speaks for and against them."""
    leader = leading_role(found.rows, pinned)
    if leader is None:
        return ()
    return tuple(
        Alternative(
            kind,
            tuple(RolePaint(role, row, role in pinned, ()) for role, row in other.rows.items()),
            other.value / task.weight(),
            trade,
        )
        for kind, other, trade in find_alternatives(task, ready.paints, found, leader)
    )


def _scores(role: str, ready: Prepared, asked: Setting) -> FloatArray:
    """(N,) of each paint in a role; one that would be shown with a clash has to be better by what that costs."""
    table = score_role(role, ready, asked)
    clash = worst_severity(role, ready.pairs.accord, table.separation, ready.givens)
    return np.asarray(table.score.astype(np.float64) - weights.SCHEME_CLASH * clash)


def _role_paints(found: Found, pinned: Mapping[str, int], ready: Prepared, asked: Setting) -> tuple[RolePaint, ...]:
    """The chosen paints with the reasons each has beside the givens and beside the others."""
    neighbours = {role: ready.paints.lab[row] for role, row in found.rows.items()}
    beside = Setting(asked.light, asked.wishes, neighbours, asked.lamps_k)
    colours = undertones(ready.paints.lab[list(found.rows.values())])
    told = []
    for (role, row), colour in zip(found.rows.items(), colours, strict=True):
        alone = ready.narrowed(np.array([row]))
        evidence = evidence_of(role, alone, beside, table=score_role(role, alone, beside), colours=(colour,))
        told.append(RolePaint(role, row, role in pinned, reasons_for(evidence)[0]))
    return tuple(told)
