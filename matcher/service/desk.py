"""The consultant's desk: their rooms, each a draft of a room file with its photos; and the photos of any room."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

from matcher.service.room_photos import add_photo, display_jpeg, photo_path, remove_photo, take_photo

if TYPE_CHECKING:
    from matcher.settings import Settings
    from matcher.store.store import Store
    from matcher.store.stored import News, RoomSummary, StoredRoom, User

__all__ = [
    "Desk",
    "add_photo",
    "delete_room",
    "display_jpeg",
    "list_rooms",
    "load_room",
    "new_room",
    "note_seen",
    "open_desk",
    "owns_room",
    "photo_path",
    "remove_photo",
    "save_document",
    "save_remark",
    "take_photo",
    "the_desk",
]

Json = dict[str, Any]
FIRST_STAGE = "new"


@dataclass(frozen=True, slots=True)
class Desk:
    """What every function here needs; safe to share between threads."""

    settings: Settings
    store: Store


def open_desk(settings: Settings) -> Desk:
    """Open the store, creating what is missing of it and finishing what a killed process left half done.

    Raises RequestError where it cannot be kept.
    """
    from matcher.store.leaving import sweep
    from matcher.store.store import open_store

    desk = Desk(settings, open_store(settings.folder, settings.database, settings.photo_address))
    sweep(desk.store)
    return desk


@cache
def the_desk() -> Desk:
    """Return the one desk of this process, on the store that the settings name; opened when first asked for."""
    from matcher.settings import load_settings

    return open_desk(load_settings())


def list_rooms(desk: Desk, user: User) -> tuple[RoomSummary, ...]:
    """Return the consultant's rooms, the one last changed first."""
    from matcher.store import rooms

    return rooms.list_rooms(desk.store, user.id)


def new_room(desk: Desk, user: User, name: str) -> str:
    """Begin a room and return its id; raises RequestError for a name that is empty or too long."""
    from matcher.room.draft import new_draft
    from matcher.service.typed_text import line
    from matcher.store import rooms

    name = line(name, "room name")
    return rooms.create_room(desk.store, user.id, name=name, document=new_draft(name), stage=FIRST_STAGE)


def load_room(desk: Desk, user: User, room_id: str) -> StoredRoom:
    """Return the room; raises NotFoundError, also for somebody else's room."""
    from matcher.store import rooms

    return rooms.load_room(desk.store, user.id, room_id)


def note_seen(desk: Desk, user: User, room: StoredRoom, kind: News) -> None:
    """Note that the answers, or the photos, in ``room`` were seen; what came since it was loaded stays new."""
    from matcher.store import rooms

    if kind in room.news:
        came = [answer.created for answer in room.answers] if kind == "answer" else [p.created for p in room.photos]
        rooms.note_seen(desk.store, user.id, room.id, kind, max(came))


def owns_room(desk: Desk, user: User, room_id: str) -> bool:
    """Tell whether the room is the consultant's, for routes that serve its photos."""
    from matcher.store import rooms

    return rooms.owns_room(desk.store, user.id, room_id)


def save_document(desk: Desk, user: User, room_id: str, document: Json, *, revision: int) -> int:
    """Save a draft made from ``revision`` and return the new revision.

    Raises ConflictError, with nothing overwritten, when the room has changed since; RoomFileError for what is no draft;
    NotFoundError.
    """
    from matcher.room.draft import checked_draft
    from matcher.store import rooms

    return rooms.save_document(desk.store, user.id, room_id, checked_draft(document), revision=revision)


def save_remark(desk: Desk, user: User, room_id: str, remark: str) -> None:
    """Keep the consultant's remark on the room."""
    from matcher.service import typed_text
    from matcher.store import rooms

    rooms.save_remark(desk.store, user.id, room_id, typed_text.remark(remark, "remark"))


def delete_room(desk: Desk, user: User, room_id: str) -> None:
    """Delete a room, its links, answers and photos; there is no way back."""
    from matcher.store import rooms

    rooms.delete_room(desk.store, user.id, room_id)
