"""One paint for every role of a room, and of the rooms seen from it, under the wishes of all of them.

Where the wishes cannot all be kept, the fewest are given up, of several ways the one that leaves the best scheme.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.ranking import weights
from matcher.ranking.question import Question
from matcher.ranking.score import score_alone
from matcher.scheme.feasible import can_be_kept
from matcher.scheme.impossible import Conflict, conflict_of
from matcher.scheme.sightlines import SeenRoom, place_of, web_of_rooms
from matcher.scheme.task import Task
from matcher.scheme.web import Found, Web
from matcher.scheme.wishes import Wish, best_under, wishes_of

FloatArray = NDArray[np.floating[Any]]


@dataclass(frozen=True, slots=True, eq=False)
class Chosen:
    """What was ``found`` for all places of the ``web``, ``tasks`` room by room; the ``wishes`` that it keeps, those
    ``given_up``, and the ``conflict`` why.
    """

    tasks: tuple[Task, ...]
    web: Web
    found: Found
    wishes: tuple[Wish, ...]
    given_up: tuple[Wish, ...]
    conflict: Conflict | None


def roles_of(question: Question) -> tuple[str, ...]:
    """The roles of the question and those that a paint is chosen for, by the fixed order of roles: the order they are
    asked in changes nothing. Raises ValueError without one.
    """
    wanted = tuple(role for role in weights.ROLES if role in {*question.roles, *question.setting.pins})
    if not wanted:
        raise ValueError("a scheme needs at least one role")
    return wanted


def choose(question: Question, seen: Sequence[SeenRoom] = ()) -> Chosen:
    """Choose the best paints of the whole deck for a room and the rooms seen from it together."""
    questions = (question, *(room.question for room in seen))
    tasks = tuple(_task(one) for one in questions)
    web = web_of_rooms(tasks)
    wishes = tuple(_wishes(questions))
    lrv = question.paints.lrv
    conflict = conflict_of(wishes, lambda some: can_be_kept(web.places, some, lrv))
    ways = conflict.ways if conflict is not None else ((),)
    best: Chosen | None = None
    for way in ways:
        kept = tuple(wish for wish in wishes if all(wish is not one for one in way))
        found = best_under(web, kept, lrv)
        if best is None or found.value > best.found.value:
            best = Chosen(tasks, web, found, kept, way, conflict)
    assert best is not None
    return best


def _task(question: Question) -> Task:
    # The search weighs paints beside each other itself, pinned ones among them.
    alone = question.with_pins({})
    scores = {role: score_alone(alone, role).astype(np.float64) for role in roles_of(question)}
    return Task(scores, question.paints.lab)


def _wishes(questions: Sequence[Question]) -> Iterator[Wish]:
    """The wishes of all rooms, told by their places; what is chosen already for another room is settled there."""
    first = questions[0]
    for room, question in enumerate(questions):
        for wish in wishes_of(question.setting, question.paints, roles_of(question)):
            places = tuple(place_of(role, room) for role in wish.places)
            yield replace(wish, places=places, droppable=room == 0 or wish.kind != "pin")
    trims = [place_of("trim", room) for room, question in enumerate(questions) if "trim" in roles_of(question)]
    if first.setting.limits.one_trim and len(trims) > 1:
        yield Wish("one-trim", tuple(trims))
