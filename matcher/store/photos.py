"""A room's photos: added with an entry in its document, taken out of both."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from sqlalchemy import select

from matcher.errors import NotFoundError, Problem, RequestError
from matcher.store.model import StoredPhoto
from matcher.store.photo_name import free_name
from matcher.store.photo_rows import Arrival, attach, forget_unused, photos_of
from matcher.store.rooms import find, no_such_room, put_document
from matcher.store.store import Store
from matcher.store.tables import PhotoRow, RoomRow


def find_photo(store: Store, room_id: str, sha: str) -> StoredPhoto | None:
    """Return the photo of these bytes in the room, or None; raises NotFoundError where there is no such room."""
    with store.database.reading() as session:
        if session.scalar(select(RoomRow.id).where(RoomRow.id == room_id)) is None:
            raise no_such_room()
        return next((photo for photo in photos_of(session, room_id) if photo.sha == sha), None)


def add_photo(
    store: Store, room_id: str, *, name: str, most: int, arrival_of: Callable[[str], Arrival], sha: str
) -> StoredPhoto:
    """Add a photo under ``name``, numbered where it is taken, and name it in the document.

    ``arrival_of`` builds the arrival from the name given. The same bytes sent twice stay one photo. Raises
    RequestError when the room holds ``most`` photos already.
    """
    with store.database.writing() as session:
        row = find(session, room_id, change=True)
        present = photos_of(session, room_id)
        for photo in present:
            if photo.sha == sha:
                return photo
        refuse_more(len(present), most)
        arrival = arrival_of(free_name(name, [photo.name for photo in present]))
        photo = attach(store, session, room_id, arrival)
        entries = [*(row.document.get("photos") or []), {"file": photo.name}]
        put_document(row, {**row.document, "photos": entries})
        if photo.by == "client":
            row.client_events += 1
        return photo


def refuse_more(present: int, most: int) -> None:
    """Raise RequestError when a room is full."""
    if present >= most:
        raise RequestError(
            Problem("photos", f"this room holds {present} photos, the most it takes", "Remove one that is not needed.")
        )


def remove_photo(store: Store, owner: str, room_id: str, sha: str) -> None:
    """Take a photo out of the room and its document, marks and all; raises NotFoundError."""
    with store.database.writing() as session:
        row = find(session, room_id, owner=owner, change=True)
        photo = session.scalar(select(PhotoRow).where(PhotoRow.room_id == room_id, PhotoRow.sha == sha))
        if photo is None:
            raise no_such_photo()
        suffix = photo.suffix
        entries = [entry for entry in row.document.get("photos") or [] if entry.get("file") != photo.name]
        put_document(row, {**row.document, "photos": entries})
        session.delete(photo)
    forget_unused(store, sha, suffix)


def original_path(store: Store, room_id: str, sha: str) -> Path:
    """Return where the original of a room's photo lies; raises NotFoundError."""
    with store.database.reading() as session:
        suffix = session.scalar(select(PhotoRow.suffix).where(PhotoRow.room_id == room_id, PhotoRow.sha == sha))
    if suffix is None:
        raise no_such_photo()
    return store.photos.path(sha, suffix)


def no_such_photo() -> NotFoundError:
    """Return the one error for a photo that is not there and for one of somebody else's room."""
    return NotFoundError(Problem("photo", "there is no such photo in this room", "It may have been removed."))
