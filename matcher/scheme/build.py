"""One paint a role, chosen together."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from matcher.ranking import weights
from matcher.ranking.question import Question
from matcher.ranking.rank import DRAWS, all_clashes
from matcher.ranking.reasons import evidence_of, reasons_for
from matcher.ranking.score import score, standing
from matcher.ranking.stability import draw_surfaces
from matcher.scheme.alternatives import find_alternatives, leading_role
from matcher.scheme.checks import measure
from matcher.scheme.scheme import Alternative, RolePaint, Scheme
from matcher.scheme.search import Found, Task, best_scheme


def build_scheme(question: Question) -> Scheme:
    """The scheme of the highest value for the roles of the question and those that a paint is chosen for.

    ``optimal`` is true only where the search covered every combination of the deck that could be better. Raises
    ValueError without a role.
    """
    pinned, paints = question.setting.pins, question.paints
    # Sorted by the fixed order of roles, so that the order they are asked in changes nothing.
    wanted = [role for role in weights.ROLES if role in {*question.roles, *pinned}]
    if not wanted:
        raise ValueError("a scheme needs at least one role")
    # The search weighs paints beside each other itself, pinned ones among them.
    alone = replace(question, setting=replace(question.setting, pins={}))
    every = np.arange(len(paints.lrv))
    task = Task(
        scores={role: score(alone, role).score.astype(np.float64) for role in wanted},
        lab=paints.lab,
        allowed={role: np.array([pinned[role]]) if role in pinned else every for role in wanted},
    )
    found = best_scheme(task)
    return Scheme(
        roles=_role_paints(found, question),
        score=found.value / task.weight(),
        optimal=found.proven,
        checks=measure(
            {role: paints.lab[row] for role, row in found.rows.items()},
            {role: float(paints.lrv[row]) for role, row in found.rows.items()},
        ),
        alternatives=_alternatives(task, found, question),
    )


def _alternatives(task: Task, found: Found, question: Question) -> tuple[Alternative, ...]:
    """Their roles carry no reasons of their own: the trade says what speaks for and against them."""
    pinned = question.setting.pins
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
        for kind, other, trade in find_alternatives(task, question.paints, found, leader)
    )


def _role_paints(found: Found, question: Question) -> tuple[RolePaint, ...]:
    """The chosen paints with the reasons each has beside the givens and beside the others, and its clashes."""
    together = replace(question, setting=replace(question.setting, pins=found.rows))
    drawn = draw_surfaces(question.givens, DRAWS, 0)
    chosen = []
    for role, row in found.rows.items():
        alone = np.array([row])
        evidence = evidence_of(together, standing(together, role, alone), alone)
        (reasons,), (clashes,) = reasons_for(evidence), all_clashes(role, evidence, question.givens, drawn)
        chosen.append(RolePaint(role, row, role in question.setting.pins, reasons, clashes))
    return tuple(chosen)
