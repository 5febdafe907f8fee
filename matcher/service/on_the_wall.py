"""The roles of a room as they are tried on its picture: which can be painted, with what, and what keeps the others."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import zip_longest
from typing import TYPE_CHECKING, Any, Literal

from matcher.errors import GivensError
from matcher.service import showing
from matcher.service.room_file import DEFAULT_TOP
from matcher.service.steps import wished_roles
from matcher.service.tiles import Ground, ground_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from matcher.service.desk import Desk
    from matcher.service.live import LiveRanking
    from matcher.service.records import StoredRoom

State = Literal["ready", "unmeasured", "not outlined", "cannot"]


@dataclass(frozen=True, slots=True)
class TriedPaint:
    """A paint that can be tried in a role."""

    code: str
    name: str
    hex: str
    lrv: float
    ground: Ground


@dataclass(frozen=True, slots=True)
class WallRole:
    """``state`` is "ready" to be painted, "unmeasured" (its old paint is, so only a guess can be shown), "not
    outlined", or "cannot", for which ``problems`` say why. ``in_brief`` tells whether the brief asks for it, ``chosen``
    which of ``paints`` (by code) it starts with: the one in use, else the scheme's.
    """

    role: str
    title: str
    in_brief: bool
    state: State
    problems: tuple[str, ...]
    chosen: str
    paints: Mapping[str, TriedPaint]


@dataclass(frozen=True, slots=True)
class Doubt:
    """By how much, as a share, a role may truly come out ``darker`` or ``brighter`` than shown, nine times in ten."""

    darker: float
    brighter: float
    measured: bool


def wall_roles(desk: Desk, room: StoredRoom, ranked: LiveRanking) -> tuple[WallRole, ...]:
    """Return the roles of the brief in its order, then what else is outlined in the picture that is repainted."""
    from matcher.report.wording import role_title

    shown = showing.repaintable(room)
    outlined = shown.roles if shown else ()
    wished = wished_roles(room)
    found = []
    for role in dict.fromkeys((*wished, *outlined)):
        state, problems = _state(desk, room, role) if role in outlined else ("not outlined", ())
        paints, chosen = _paints(room, ranked, role)
        found.append(WallRole(role, role_title(role), role in wished, state, problems, chosen, paints))
    return tuple(found)


def doubts_of(result: Mapping[str, Any]) -> dict[str, Doubt]:
    """Return by role how sure a picture of :func:`matcher.service.showing.repainted_together` is."""
    return {
        said["role"]: Doubt(
            darker=1 - said["brightness_range"][0],
            brighter=said["brightness_range"][1] - 1,
            measured=said["old_paint"]["measured"],
        )
        for said in result["painted"]
    }


def _state(desk: Desk, room: StoredRoom, role: str) -> tuple[State, tuple[str, ...]]:
    try:
        measured = showing.prepared_role(desk, room, role).old.measured
    except GivensError as error:
        return "cannot", tuple(str(problem) for problem in error.problems)
    return ("ready" if measured else "unmeasured"), ()


def _paints(room: StoredRoom, ranked: LiveRanking, role: str) -> tuple[dict[str, TriedPaint], str]:
    """Return the paints of a role's shortlist by code, and the one to start with, which comes first where it is on no
    list. A role outside the brief has no shortlist: it is offered the best of what the others hold.
    """
    lists, scheme = ranked.result["shortlists"], ranked.result["scheme"]["roles"]
    listed = lists.get(role) or _some_of_each(list(lists.values()))
    start = scheme.get(role)
    codes = {paint["code"] for paint in listed}
    offered = [*([start] if start and start["code"] not in codes else []), *listed]
    paints = {
        paint["code"]: TriedPaint(paint["code"], paint["name"], paint["hex"], paint["lrv"], ground_of(paint["lrv"]))
        for paint in offered
    }
    pinned = room.document.get("pins", {}).get(role)
    chosen = next((code for code in (pinned, start and start["code"]) if code in paints), next(iter(paints), ""))
    return paints, chosen


def _some_of_each(lists: list[list[Mapping[str, Any]]]) -> list[Mapping[str, Any]]:
    """Return the first paints of every list in turn, each once, as many as a shortlist has."""
    in_turn = (paint for rank in zip_longest(*lists) for paint in rank if paint is not None)
    return list({paint["code"]: paint for paint in in_turn}.values())[:DEFAULT_TOP]
