"""Photos sent to a place far away before the transaction that adds their rows: it keeps nobody waiting for long.

What is sent is noted first: whatever becomes of the sender, a note is left of every photo that may lie there and that
no room has. So nothing has to be looked for among thousands of photos, and only what was noted is ever removed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from datetime import timedelta

from sqlalchemy import delete, select

from matcher.errors import StoreError
from matcher.store.photo_rows import Arrival, is_used
from matcher.store.store import Store
from matcher.store.tables import OnTheWayRow

# Assumption: no photo is sent for as long, so whoever sent it was killed.
_ABANDONED = timedelta(hours=1)
_Note = tuple[int, str, str]


@contextmanager
def sent_ahead(store: Store, arrivals: Sequence[Arrival]) -> Iterator[None]:
    """Have photos lie where they will be kept, for a transaction that adds them; what it did not add goes again.

    Another server may forget the same photo at any moment: the transaction looks again (:func:`attach`).
    """
    if not store.photos.far:
        yield
        return
    now = store.database.now()
    notes = [OnTheWayRow(sha=arrival.sha, suffix=arrival.suffix, since=now) for arrival in arrivals]
    with store.database.writing() as session:
        session.add_all(notes)
        session.flush()
        noted = [(note.id, note.sha, note.suffix) for note in notes]
    try:
        for arrival in arrivals:
            store.photos.send(arrival.path, arrival.sha, arrival.suffix)
        yield
    finally:
        _settle(store, noted)


def settle_abandoned(store: Store) -> None:
    """Remove what senders that were killed had sent; raises StoreError."""
    with store.database.reading() as session:
        old = select(OnTheWayRow.id, OnTheWayRow.sha, OnTheWayRow.suffix).where(
            OnTheWayRow.since < store.database.now() - _ABANDONED
        )
        noted = [(id_, sha, suffix) for id_, sha, suffix in session.execute(old)]
    _settle(store, noted)


def _settle(store: Store, noted: Sequence[_Note]) -> None:
    """Strike the notes out, and remove the photos that no room has; what cannot be done now is done the next time."""
    with suppress(StoreError, OSError):
        with store.database.reading() as session:
            unused = [sha for _, sha, _ in noted if not is_used(session, sha)]
        if unused:
            # A place that does not answer is found out before the lock keeps others waiting.
            store.photos.reach()
        for id_, sha, suffix in noted:
            with store.database.writing() as session:
                store.database.lock(session, sha)
                if not is_used(session, sha):
                    store.photos.forget(sha, suffix)
                session.execute(delete(OnTheWayRow).where(OnTheWayRow.id == id_))
