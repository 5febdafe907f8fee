"""Hints that a consultant has put away, and may take out again."""

from __future__ import annotations

from sqlalchemy import delete

from matcher.store.store import Store
from matcher.store.tables import PutAwayRow


def is_away(store: Store, user: str, hint: str) -> bool:
    """Tell whether the consultant put the hint away."""
    with store.database.reading() as session:
        return session.get(PutAwayRow, (user, hint)) is not None


def put_away(store: Store, user: str, hint: str) -> None:
    """Show the hint no more; once is enough."""
    with store.database.writing() as session:
        session.merge(PutAwayRow(user_id=user, hint=hint))


def take_out(store: Store, user: str, hint: str) -> None:
    """Show the hint again."""
    with store.database.writing() as session:
        session.execute(delete(PutAwayRow).where(PutAwayRow.user_id == user, PutAwayRow.hint == hint))
