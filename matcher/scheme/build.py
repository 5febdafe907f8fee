"""One paint a role, chosen together."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from matcher.ranking import weights
from matcher.ranking.question import Question
from matcher.ranking.rank import DRAWS, all_clashes
from matcher.ranking.reasons import evidence_of, reasons_for
from matcher.ranking.score import standing
from matcher.ranking.shortlist import Reason
from matcher.ranking.stability import draw_surfaces
from matcher.scheme.alternatives import find_alternatives, leading_role, worth_of
from matcher.scheme.checks import measure, measure_through
from matcher.scheme.choosing import Chosen, choose
from matcher.scheme.companions import find_companions
from matcher.scheme.repainted import puts_right
from matcher.scheme.scheme import Alternative, AskedFor, GivenUp, OtherRoom, RolePaint, Scheme
from matcher.scheme.sightlines import SeenRoom, in_room, role_and_room
from matcher.scheme.trim_ladder import trim_ladder
from matcher.scheme.wishes import Wish


def build_scheme(question: Question, seen: Sequence[SeenRoom] = ()) -> Scheme:
    """The scheme of the highest value for the roles of the question and those that a paint is chosen for, together with
    the rooms ``seen`` from it.

    ``optimal`` is true only where the search covered every combination of the deck that could be better. Raises
    ValueError without a role.
    """
    chosen = choose(question, seen)
    task, found = chosen.tasks[0], chosen.found
    rows = in_room(found.rows, task.roles, 0)
    score = worth_of(task.web(), rows) / task.weight()
    # A choice that was given up is made anew.
    pinned = _still_pinned(question, chosen, rows)
    lab = {role: question.paints.lab[row] for role, row in rows.items()}
    return Scheme(
        roles=_role_paints(rows, pinned, question),
        score=score,
        optimal=found.proven,
        checks=measure(lab, {role: float(question.paints.lrv[row]) for role, row in rows.items()}),
        alternatives=_alternatives(chosen, question, pinned, score),
        companions=tuple(find_companions(question, rows["walls"])) if "walls" in rows else (),
        trim_ladder=tuple(trim_ladder(question, rows, task.scores["trim"])) if "trim" in rows else (),
        given_up=_given_up(chosen, seen),
        rooms=tuple(_other_rooms(question, seen, chosen, rows)),
    )


def _still_pinned(question: Question, chosen: Chosen, rows: Mapping[str, int]) -> dict[str, int]:
    dropped = {wish.places[0] for wish in chosen.given_up if wish.kind == "pin"}
    return {role: row for role, row in question.setting.pins.items() if role not in dropped and role in rows}


def _alternatives(
    chosen: Chosen, question: Question, pinned: Mapping[str, int], score: float
) -> tuple[Alternative, ...]:
    """Their roles carry no reasons of their own: the trade says what speaks for and against them."""
    leader = leading_role(chosen.tasks[0].scores, pinned)
    if leader is None:
        return ()
    return tuple(
        Alternative(
            kind, tuple(RolePaint(role, row, role in pinned, ()) for role, row in rows.items()), score - cost, trade
        )
        for kind, rows, cost, trade in find_alternatives(chosen, question.paints, leader)
    )


def _role_paints(rows: Mapping[str, int], pinned: Mapping[str, int], question: Question) -> tuple[RolePaint, ...]:
    """The chosen paints with the reasons each has beside the givens and beside the others, and its clashes."""
    together = question.with_pins(rows)
    drawn = draw_surfaces(question.givens, DRAWS, 0)
    chosen = []
    for role, row in rows.items():
        alone = np.array([row])
        evidence = evidence_of(together, standing(together, role, alone), alone)
        (reasons,), (clashes,) = reasons_for(evidence), all_clashes(role, evidence, question.givens, drawn)
        chosen.append(RolePaint(role, row, role in pinned, _with_repainted(question, role, row, reasons), clashes))
    return tuple(chosen)


def _with_repainted(question: Question, role: str, row: int, reasons: tuple[Reason, ...]) -> tuple[Reason, ...]:
    more = sorted([*reasons, *puts_right(question, role, row)], key=lambda reason: -reason.weight)
    return tuple(more[: weights.MOST_REASONS])


def _given_up(chosen: Chosen, seen: Sequence[SeenRoom]) -> GivenUp | None:
    if chosen.conflict is None:
        return None
    return GivenUp(
        tuple(_asked_for(wish, seen) for wish in chosen.conflict.fight),
        tuple(_asked_for(wish, seen) for wish in chosen.given_up),
    )


def _asked_for(wish: Wish, seen: Sequence[SeenRoom]) -> AskedFor:
    """A wish by its roles; one of another room says which."""
    (role, room), *more = map(role_and_room, wish.places)
    roles = (role,) if wish.kind == "one-trim" else (role, *(other for other, _ in more))
    return AskedFor(wish.kind, roles, wish.values, seen[room - 1].name if room else "")


def _other_rooms(
    question: Question, seen: Sequence[SeenRoom], chosen: Chosen, rows: Mapping[str, int]
) -> Iterator[OtherRoom]:
    for room, (one, task) in enumerate(zip(seen, chosen.tasks[1:], strict=True), start=1):
        there = in_room(chosen.found.rows, task.roles, room)
        yield OtherRoom(
            file=one.file,
            name=one.name,
            through=one.through,
            roles=there,
            pinned=tuple(role for role in there if role in one.question.setting.pins),
            checks=measure_through(question.paints.lab, rows, there),
        )
