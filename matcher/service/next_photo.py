"""The next photo: asked for by the consultant, taken by the householder, ticked off once its card is marked."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from matcher.errors import Problem, RequestError
from matcher.service.live import finished_part

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matcher.service.desk import Desk
    from matcher.store.stored import Ask, ClientRoom, StoredPhoto, StoredRoom, User

State = Literal["open", "come", "used"]


@dataclass(frozen=True, slots=True)
class Request:
    """``text`` says what was asked for; ``state`` is open, come (the ``photos`` that came since) or used (marked)."""

    kind: str
    surface: str
    text: str
    state: State
    photos: tuple[str, ...]


def ask_for_photo(desk: Desk, user: User, room: StoredRoom, kind: str, surface: str) -> None:
    """Ask the householder for a photo of a surface; raises RequestError for what none can take, NotFoundError."""
    from matcher.advice.advice import BY_PHOTO
    from matcher.store import asks

    if kind not in BY_PHOTO:
        raise RequestError(Problem("photo", f"{kind!r} is no photo to ask for", f"Use one of: {', '.join(BY_PHOTO)}."))
    if surface not in _surfaces(room):
        raise RequestError(Problem("photo", f"no surface is called {surface!r}", "Outline it on the page Mark first."))
    asks.add_ask(desk.store, user.id, room.id, kind=kind, surface=surface)


def withdraw_request(desk: Desk, user: User, room_id: str) -> None:
    """Ask for nothing any more; raises NotFoundError."""
    from matcher.store import asks

    asks.withdraw_ask(desk.store, user.id, room_id)


def request_of(room: StoredRoom) -> Request | None:
    """Return what the consultant asked for and how far it has come, None where nothing is asked."""
    from matcher.report.wording import action_sentence

    if room.asked is None:
        return None
    since = _since(room.asked, [photo for photo in room.photos if photo.by == "client"])
    used = any(_is_marked(room, name, room.asked.surface) for name in since)
    return Request(
        kind=room.asked.kind,
        surface=room.asked.surface,
        text=action_sentence(room.asked.kind, room.asked.surface),
        state="used" if used else "come" if since else "open",
        photos=since,
    )


def client_request(room: ClientRoom) -> Request | None:
    """Return what the householder is asked for, in their words, and whether it has come."""
    from matcher.report.wording import client_action_sentence

    if room.asked is None:
        return None
    since = _since(room.asked, room.photos)
    return Request(
        kind=room.asked.kind,
        surface=room.asked.surface,
        text=client_action_sentence(room.asked.kind, room.asked.surface),
        state="come" if since else "open",
        photos=since,
    )


def _since(asked: Ask, photos: Sequence[StoredPhoto]) -> tuple[str, ...]:
    """Photos that came after it was asked, those apart that have to be taken again."""
    return tuple(
        photo.name
        for photo in photos
        if photo.created > asked.created and all(check["level"] != "fail" for check in photo.verdict["checks"])
    )


def _is_marked(room: StoredRoom, name: str, surface: str) -> bool:
    """Tell whether a photo has a card and the surface outlined, so that it is measured with the others."""
    finished = finished_part(room.document, frozenset({name}))
    return any(
        entry["references"] and any(outlined["name"] == surface for outlined in entry["surfaces"])
        for entry in finished["photos"]
    )


def _surfaces(room: StoredRoom) -> set[str]:
    photos = room.document.get("photos", ())
    return {surface["name"] for photo in photos for surface in photo.get("surfaces", ())}
