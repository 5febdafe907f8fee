"""How far a room has come, step by step, and which step is next."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Literal

from matcher.service.next_photo import request_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from matcher.store.stored import StoredRoom

State = Literal["done", "under way", "to do"]


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


def wished_roles(room: StoredRoom) -> list[str]:
    """Return the roles that paints are sought for."""
    roles: list[str] = room.document.get("wishes", {}).get("roles") or ["walls"]
    return roles


def _state(done: bool, begun: bool) -> State:
    return "done" if done else "under way" if begun else "to do"


def _entries(document: Mapping[str, Any]) -> Iterator[Mapping[str, Any]]:
    yield from document.get("photos", ())
