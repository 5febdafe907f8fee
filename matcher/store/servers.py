"""The app servers that run on this store, each with what all of them have to have in common.

A server says every now and then that it is there. One that ended with its machine is forgotten when it has said nothing
for a while, or when another one starts where it was.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import delete, or_, select
from sqlalchemy.orm import Session

from matcher.store.store import Store
from matcher.store.stored import Json
from matcher.store.tables import ServerRow

_LOCK = "givens servers"
# Assumption: who is there says so four times within it.
SILENCE = timedelta(seconds=80)


@dataclass(frozen=True, slots=True)
class Server:
    """A server at a ``port`` of a ``host``, there since it ``started``; ``facts`` are what it goes by."""

    id: str
    host: str
    port: int
    started: datetime
    facts: Json


def enter(
    store: Store, server: str, host: str, port: int, facts: Json, check: Callable[[Sequence[Server]], None]
) -> None:
    """Note that a server starts, unless ``check``, which is told of all others that are there, raises."""
    now = store.database.now()
    with store.database.writing() as session:
        store.database.lock(session, _LOCK)
        here = (ServerRow.host == host) & (ServerRow.port == port)
        session.execute(delete(ServerRow).where(or_(here, ServerRow.beat < now - SILENCE)))
        rows = session.scalars(select(ServerRow).order_by(ServerRow.started, ServerRow.id)).all()
        check([Server(row.id, row.host, row.port, row.started, row.facts) for row in rows])
        session.add(ServerRow(id=server, host=host, port=port, started=now, beat=now, facts=facts))


def go_on(store: Store, server: str) -> None:
    """Say that a server is there; lost where the database takes no more."""

    def say(session: Session) -> None:
        row = session.get(ServerRow, server)
        if row is not None:
            row.beat = store.database.now()

    store.database.note(say)


def leave(store: Store, server: str) -> None:
    """Note that a server ends; lost where the database takes no more."""

    def forget(session: Session) -> None:
        session.execute(delete(ServerRow).where(ServerRow.id == server))

    store.database.note(forget)
