"""A room's photos: added with an entry in its document, taken out of both."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from sqlalchemy import delete, select

from matcher.errors import NotFoundError, Problem, RequestError
from matcher.room.photo_name import free_name
from matcher.store.leaving import finish_leaving, note_leaving
from matcher.store.on_the_way import sent_ahead
from matcher.store.photo_rows import Arrival, attach, photos_of, take_over
from matcher.store.rooms import find, put_document
from matcher.store.store import Store
from matcher.store.stored import Sender, StoredPhoto
from matcher.store.tables import MeasurementRow, PhotoRow


def photos_in(store: Store, room_id: str) -> tuple[StoredPhoto, ...]:
    """Return a room's photos, oldest first; raises NotFoundError where there is no such room."""
    with store.database.reading() as session:
        find(session, room_id)
        return photos_of(session, room_id)


def add_photo(store: Store, room_id: str, arrival: Arrival, *, most: int) -> StoredPhoto:
    """Add a photo, its name numbered where it is taken, and name it in the document.

    The same bytes sent twice stay one photo, the client's where the client sent it too. Raises RequestError when the
    room holds ``most`` photos already.
    """
    with sent_ahead(store, [arrival]), store.database.writing() as session:
        row = find(session, room_id, change=True)
        present = photos_of(session, room_id)
        known = next((photo for photo in present if photo.sha == arrival.sha), None)
        if known is None:
            refuse_more(len(present), most)
            name = free_name(arrival.name, [photo.name for photo in present])
            photo = attach(store, session, room_id, replace(arrival, name=name))
            put_document(
                row, {**row.document, "photos": [*row.document.get("photos", []), {"file": name}]}, store.database.now()
            )
        elif is_news(known, arrival.by):
            photo = take_over(session, room_id, known, store.database.now())
        else:
            return known
        return photo


def is_news(known: StoredPhoto, by: Sender) -> bool:
    """Tell whether a photo that the room has is new from this sender: the client may not see the consultant's."""
    return by == "client" and known.by != "client"


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
        entries = [entry for entry in row.document.get("photos", []) if entry.get("file") != photo.name]
        put_document(row, {**row.document, "photos": entries}, store.database.now())
        note_leaving(store, session, [(photo.sha, photo.suffix)])
        session.delete(photo)
        # What was measured of a photo that is taken out goes with it.
        session.execute(delete(MeasurementRow).where(MeasurementRow.room_id == room_id))
    finish_leaving(store)


def original_path(store: Store, room_id: str, sha: str) -> Path:
    """Return where the original of a room's photo lies whenever it is brought; raises NotFoundError."""
    with store.database.reading() as session:
        suffix = session.scalar(select(PhotoRow.suffix).where(PhotoRow.room_id == room_id, PhotoRow.sha == sha))
    if suffix is None:
        raise no_such_photo()
    return store.photos.path(sha, suffix)


def no_such_photo() -> NotFoundError:
    """Return the one error for a photo that is not there and for one of somebody else's room."""
    return NotFoundError(Problem("photo", "there is no such photo in this room", "It may have been removed."))
