"""Photos that no room has any more: noted with what removes them, and gone from the disk, now or at the next start."""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import suppress

from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from matcher.errors import StoreError
from matcher.store.on_the_way import settle_abandoned
from matcher.store.photo_rows import is_used
from matcher.store.store import Store
from matcher.store.tables import LeavingRow, PhotoRow


def note_leaving(store: Store, session: Session, photos: Iterable[tuple[str, str]]) -> None:
    """Note ``photos`` (SHA-256 and suffix) within the transaction that takes them out of a room.

    Another server may note one of them at this moment, or strike out the note that it finds: one after the other.
    """
    for sha, suffix in sorted(photos):
        store.database.lock(session, sha)
        session.merge(LeavingRow(sha=sha, suffix=suffix))


def finish_leaving(store: Store) -> None:
    """Remove the files of what was noted, and of what was noted long ago as on its way.

    What cannot be removed now (a busy database, a disk that refuses) stays noted and goes the next time.
    """
    with suppress(StoreError, OSError):
        with store.database.reading() as session:
            noted = session.execute(select(LeavingRow.sha, LeavingRow.suffix)).all()
        if noted:
            # A place that does not answer is found out before the lock keeps others waiting.
            store.photos.reach()
        for sha, suffix in noted:
            with store.database.writing() as session:
                # The same bytes may be arriving in another room at this moment: the lock lets one of us finish first.
                store.database.lock(session, sha)
                if not is_used(session, sha):
                    store.photos.forget(sha, suffix)
                session.execute(delete(LeavingRow).where(LeavingRow.sha == sha))
        settle_abandoned(store)


def sweep(store: Store) -> None:
    """Remove every file that belongs to no photo of any room: what was noted, and what a killed process left."""
    finish_leaving(store)
    with suppress(StoreError, OSError):
        # Files first: what arrives after they were listed is not among them.
        lying = list(store.photos.files())
        with store.database.reading() as session:
            owned = set(session.scalars(select(PhotoRow.sha)))
        for sha, path in lying:
            if sha not in owned:
                with store.database.writing() as session:
                    store.database.lock(session, sha)
                    if not is_used(session, sha):
                        path.unlink(missing_ok=True)
