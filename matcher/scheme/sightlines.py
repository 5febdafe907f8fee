"""Rooms seen from each other as one task: the places of every room, and what holds through a doorway.

Undertones of the walls agree through it, and the step between them reads as meant or is none; trim is best the same
paint through. Which rules there are: matcher/ranking/neighbours.py.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.ranking import weights
from matcher.ranking.neighbours import THROUGH, through_fit
from matcher.ranking.question import Question
from matcher.scheme.task import Task
from matcher.scheme.web import Link, Rows, Web, Worth

FloatArray = NDArray[np.floating[Any]]


@dataclass(frozen=True, slots=True, eq=False)
class SeenRoom:
    """A room seen from another one: what its ``file`` is called there, or its id where it is stored, its ``name``, what
    it is seen ``through``, and what is asked for it, of the same paints.
    """

    file: str
    name: str
    through: str
    question: Question


def place_of(role: str, room: int) -> str:
    """What a role's place is called in the task of several rooms; that of the first room is called as the role.

    >>> place_of("walls", 0), place_of("walls", 2)
    ('walls', 'walls 2')
    """
    return role if room == 0 else f"{role} {room}"


def role_and_room(place: str) -> tuple[str, int]:
    """Return whose place that is, as :func:`place_of` names it.

    >>> role_and_room("walls"), role_and_room("walls 2")
    (('walls', 0), ('walls', 2))
    """
    role, _, room = place.partition(" ")
    return role, int(room or 0)


def web_of_rooms(tasks: Sequence[Task]) -> Web:
    """The webs of several rooms in one, the first of which sees all others."""
    own: dict[str, FloatArray] = {}
    links: dict[tuple[str, str], Link] = {}
    for room, task in enumerate(tasks):
        web = task.web()
        own |= {place_of(role, room): values for role, values in web.own.items()}
        links |= {(place_of(one, room), place_of(other, room)): link for (one, other), link in web.links.items()}
    single = tasks[0].lab.astype(np.float32)
    for role in THROUGH:
        for room, task in enumerate(tasks[1:], start=1):
            if role in tasks[0].roles and role in task.roles:
                link = Link(weights.THROUGH_WEIGHTS[role], (_through(role, single),), looks=single)
                links[role, place_of(role, room)] = link
    return Web(own, links)


def in_room(rows: Mapping[str, int], roles: Sequence[str], room: int) -> dict[str, int]:
    """The rows chosen for the roles of one room."""
    return {role: rows[place_of(role, room)] for role in roles}


def _through(role: str, lab: FloatArray) -> Worth:
    def worth(first: Rows, second: Rows) -> FloatArray:
        fit = through_fit(role, lab[first], lab[second])
        return np.asarray(weights.THROUGH_WEIGHTS[role] * fit.astype(np.float64))

    return worth
