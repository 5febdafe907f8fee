"""The one photo that the consultant asks the householder for; what was asked before is kept, no longer shown."""

from __future__ import annotations

from matcher.store.rooms import find, latest_ask
from matcher.store.store import Store
from matcher.store.tables import AskRow


def add_ask(store: Store, owner: str, room_id: str, *, kind: str, surface: str) -> None:
    """Ask for a photo in place of what was asked before; raises NotFoundError."""
    now = store.database.now()
    with store.database.writing() as session:
        find(session, room_id, owner=owner, change=True).updated = now
        session.add(AskRow(room_id=room_id, kind=kind, surface=surface, created=now, withdrawn=None))


def withdraw_ask(store: Store, owner: str, room_id: str) -> None:
    """Ask for nothing any more; raises NotFoundError."""
    with store.database.writing() as session:
        find(session, room_id, owner=owner, change=True)
        row = latest_ask(session, room_id)
        if row is not None:
            row.withdrawn = row.withdrawn or store.database.now()
