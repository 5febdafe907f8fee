"""Rooms ranked against a new edition in the background: one run at a time for the whole store, whoever asks.

Who does it holds the run by saying every few seconds that it is there. One that has said nothing for a while was lost
with its machine, and another may take over.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal

from sqlalchemy import select
from sqlalchemy.orm import Session

from matcher.store.store import Store
from matcher.store.tables import EditionRunRow

_ONE = 1
_LOCK = "givens edition run"
# Assumption: who is there says so twenty times within it, and begins to within it on a busy machine.
SILENCE = timedelta(seconds=20)

State = Literal["running", "stopping", "ended", "lost"]


@dataclass(frozen=True, slots=True)
class EditionRun:
    """The run from the ``old`` deck to the ``new`` one (SHA-256), begun ``by`` whom: ``done`` of so many rooms, and the
    ``step``. ``ended`` tells that it was finished, stopped, or could not go on for a ``problem``; ``lost`` that whoever
    did it is gone.
    """

    old: str
    new: str
    by: str
    begun: datetime
    done: int
    of: int
    step: str
    state: State
    problem: str


def last_run(store: Store) -> EditionRun | None:
    """Return the run that is under way, or was last."""
    with store.database.reading() as session:
        row = session.get(EditionRunRow, _ONE)
        return None if row is None else _run(row, store.database.now())


def begin_run(
    store: Store, old: str, new: str, *, holder: str, by: str, gone: Callable[[str], bool] = lambda holder: False
) -> EditionRun | None:
    """Take the run for ``holder``; while somebody else does one that is returned, and nothing is changed. ``gone``
    tells of a holder that it is known to be no more, before its silence does.
    """
    now = store.database.now()
    with store.database.writing() as session:
        store.database.lock(session, _LOCK)
        row = session.get(EditionRunRow, _ONE)
        if row is not None and _state(row, now) in ("running", "stopping") and not gone(row.holder):
            return _run(row, now)
        if row is None:
            row = EditionRunRow(id=_ONE)
            session.add(row)
        row.old, row.new, row.holder, row.by, row.begun, row.beat = old, new, holder, by, now, now
        row.done, row.of, row.step, row.stop, row.ended, row.problem = 0, 0, "", False, None, ""
        return None


def go_on(store: Store, holder: str, done: int, of: int, step: str) -> bool:
    """Say that ``holder`` is there and how far it is; False where it is to stop, or no longer holds the run."""
    with store.database.writing() as session:
        row = _held(store, session, holder)
        if row is None:
            return False
        row.beat, row.done, row.of, row.step = store.database.now(), done, of, step
        return not row.stop


def is_held(store: Store, holder: str) -> bool:
    """Tell whether ``holder`` still has the run, asked to stop or not."""
    with store.database.writing() as session:
        return _held(store, session, holder) is not None


def end_run(store: Store, holder: str, *, problem: str = "") -> None:
    """Note that ``holder`` does no more."""
    with store.database.writing() as session:
        row = _held(store, session, holder)
        if row is not None:
            row.ended, row.problem = store.database.now(), problem


def ask_to_stop(store: Store) -> None:
    """Ask whoever does the run to stop."""
    with store.database.writing() as session:
        store.database.lock(session, _LOCK)
        row = session.get(EditionRunRow, _ONE)
        if row is not None:
            row.stop = True


def _held(store: Store, session: Session, holder: str) -> EditionRunRow | None:
    store.database.lock(session, _LOCK)
    return session.scalar(select(EditionRunRow).where(EditionRunRow.holder == holder, EditionRunRow.ended.is_(None)))


def _run(row: EditionRunRow, now: datetime) -> EditionRun:
    facts = (row.old, row.new, row.by, row.begun, row.done, row.of, row.step)
    return EditionRun(*facts, state=_state(row, now), problem=row.problem)


def _state(row: EditionRunRow, now: datetime) -> State:
    if row.ended is not None:
        return "ended"
    if now - row.beat > SILENCE:
        return "lost"
    return "stopping" if row.stop else "running"
