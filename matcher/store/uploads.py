"""How many files somebody sent of late, whatever became of them: counted where every server of a store can see it."""

from __future__ import annotations

from datetime import timedelta

from sqlalchemy import delete, func, select

from matcher.store.store import Store
from matcher.store.tables import UploadRow


def count_upload(store: Store, sender: str, window: timedelta, most: int) -> bool:
    """Count one more file of ``sender`` (an id in hex) and return True, or False where ``most`` came in ``window``."""
    now = store.database.now()
    with store.database.writing() as session:
        store.database.lock(session, sender)
        session.execute(delete(UploadRow).where(UploadRow.arrived < now - window))
        sent = session.scalar(select(func.count(UploadRow.id)).where(UploadRow.sender == sender)) or 0
        if sent >= most:
            return False
        session.add(UploadRow(sender=sender, arrived=now))
        return True
