"""How far a room has come, step by step, and which step is next."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

from matcher.service.next_photo import request_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from matcher.store.stored import StoredRoom

State = Literal["done", "under way", "to do"]
Action = Literal[
    "answer", "look", "brief", "photos", "mark", "mark photo", "choose", "outline", "share", "see scheme"
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class NextThing:
    """What to do next in a room: an ``action`` on the page of a ``step``, about a role, a photo or nothing."""

    action: Action
    step: str
    about: str = ""


def step_states(room: StoredRoom) -> dict[str, State]:
    """Return the state of every step, in the order of the work."""
    document, roles = room.document, wished_roles(room)
    pinned = {role for role in document.get("pins", {}) if role in roles}
    outlined = {area["role"] for entry in _entries(document) for area in entry.get("areas", ())}
    marked = [bool(entry.get("surfaces") or entry.get("areas")) for entry in _entries(document)]
    measured = bool(document.get("surfaces")) or any(entry.get("surfaces") for entry in _entries(document))
    request = request_of(room)
    asked = request is not None and request.state == "open"
    return {
        "brief": _state(bool(document.get("wishes", {}).get("roles")), bool(room.brief)),
        "photos": _state(bool(room.photos) and not asked, bool(room.photos)),
        "mark": _state(measured and all(marked), measured or any(marked)),
        "shortlist": _state(measured and len(pinned) == len(roles), bool(pinned)),
        "wall": _state(set(roles) <= outlined, bool(outlined)),
        "scheme": _state(room.shared is not None, measured and len(pinned) == len(roles)),
    }


def next_step(states: Mapping[str, State]) -> str:
    """Return the step to go on with: the first that is not done."""
    return next((step for step, state in states.items() if state != "done"), "scheme")


def next_thing(room: StoredRoom, *, news: bool = False) -> NextThing:
    """Return the one next thing to do; ``news`` says that the client did something which has not been seen."""
    states = step_states(room)
    if room.stage == "answered":
        return NextThing("answer", "scheme")
    if news:
        return NextThing("look", "photos") if room.photos else NextThing("brief", "brief")
    if room.shared is not None:
        return NextThing("see scheme", "scheme")
    return _in_step(room, next_step(states), states)


def _in_step(room: StoredRoom, step: str, states: Mapping[str, State]) -> NextThing:
    document, roles = room.document, wished_roles(room)
    if step == "mark" and states["mark"] == "under way":
        bare = [entry["file"] for entry in _entries(document) if not (entry.get("surfaces") or entry.get("areas"))]
        return NextThing("mark photo", step, bare[0]) if bare else NextThing("mark", step)
    if step == "shortlist":
        return NextThing("choose", step, next((role for role in roles if role not in document.get("pins", {})), ""))
    if step == "wall" and states["wall"] == "to do":
        # Outlines are drawn where marks are.
        return NextThing("outline", "mark", roles[0])
    if step in ("wall", "scheme"):
        # Who has outlined some of the roles may leave it at that.
        return NextThing("share", "scheme")
    return {
        "brief": NextThing("brief", "brief"),
        "photos": NextThing("photos", "photos"),
        "mark": NextThing("mark", "mark"),
    }[step]


def wished_roles(room: StoredRoom) -> list[str]:
    """Return the roles that paints are sought for."""
    roles: list[str] = room.document.get("wishes", {}).get("roles") or ["walls"]
    return roles


def _state(done: bool, begun: bool) -> State:
    return "done" if done else "under way" if begun else "to do"


def _entries(document: Mapping[str, Any]) -> Iterator[Mapping[str, Any]]:
    yield from document.get("photos", ())
