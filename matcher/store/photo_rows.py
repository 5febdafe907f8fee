"""Photos as rows, and their files kept as long as a row speaks of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import cast

from sqlalchemy import select, update
from sqlalchemy.orm import Session

from matcher.store.store import Store
from matcher.store.stored import Json, Sender, StoredPhoto
from matcher.store.tables import PhotoRow


@dataclass(frozen=True, slots=True)
class Arrival:
    """A photo that was looked at and found good: ``path`` is its temporary file, ``suffix`` as .jpg."""

    path: Path
    sha: str
    suffix: str
    name: str
    width: int
    height: int
    verdict: Json
    by: Sender


def attach(store: Store, session: Session, room_id: str, arrival: Arrival) -> StoredPhoto:
    """Put the file in its place and add the row, within a transaction that writes."""
    store.database.lock(session, arrival.sha)
    store.photos.keep(arrival.path, arrival.sha, arrival.suffix)
    row = PhotoRow(
        room_id=room_id,
        sha=arrival.sha,
        suffix=arrival.suffix,
        name=arrival.name,
        width=arrival.width,
        height=arrival.height,
        verdict=arrival.verdict,
        by=arrival.by,
        created=store.database.now(),
    )
    session.add(row)
    session.flush()
    return _photo(row)


def take_over(session: Session, room_id: str, photo: StoredPhoto, now: datetime) -> StoredPhoto:
    """Note that the client sent this photo too, ``now``."""
    where = (PhotoRow.room_id == room_id, PhotoRow.sha == photo.sha)
    session.execute(update(PhotoRow).where(*where).values(by="client", created=now))
    return replace(photo, by="client", created=now)


def photos_of(session: Session, room_id: str) -> tuple[StoredPhoto, ...]:
    """Return a room's photos, oldest first."""
    return photos_by_room(session, [room_id])[room_id]


def photos_by_room(session: Session, room_ids: Sequence[str]) -> dict[str, tuple[StoredPhoto, ...]]:
    """Return the photos of each of these rooms, oldest first, asked for at once."""
    found: dict[str, list[StoredPhoto]] = {room_id: [] for room_id in room_ids}
    for row in session.scalars(select(PhotoRow).where(PhotoRow.room_id.in_(room_ids)).order_by(PhotoRow.id)):
        found[row.room_id].append(_photo(row))
    return {room_id: tuple(photos) for room_id, photos in found.items()}


def keep_picture(store: Store, sha: str, longest_side: int, picture: bytes) -> None:
    """Keep a picture made from a photo for showing, unless the photo was removed while it was made."""
    with store.database.writing() as session:
        store.database.lock(session, sha)
        if is_used(session, sha):
            store.photos.show(sha, longest_side, picture)


def is_used(session: Session, sha: str) -> bool:
    """Tell whether a room has this photo."""
    return session.scalar(select(PhotoRow.id).where(PhotoRow.sha == sha).limit(1)) is not None


def _photo(row: PhotoRow) -> StoredPhoto:
    return StoredPhoto(
        sha=row.sha,
        name=row.name,
        width=row.width,
        height=row.height,
        verdict=row.verdict,
        by=cast(Sender, row.by),
        created=row.created,
    )
