"""Decks kept in the store, each under the SHA-256 of its file, and which of them is in use: every server sees the same.

The ``deck`` of the settings is what a store begins with; from the first deck put in use on, the store says it.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import delete, select

from matcher.errors import ConflictError, NotFoundError, Problem
from matcher.store.store import Store
from matcher.store.tables import DeckInUseRow, DeckRow, EditionRow

_LOCK = "givens deck in use"


@dataclass(frozen=True, slots=True)
class KeptDeck:
    """A deck of ``size`` paints, kept as the ``data`` of a ``file``."""

    sha: str
    file: str
    size: int
    data: bytes


@dataclass(frozen=True, slots=True)
class InUse:
    """That the deck of the ``file`` was put in use, ``by`` whom ("" for the one that a store began with) and when."""

    sha: str
    file: str
    by: str
    since: datetime


def keep_deck(store: Store, deck: KeptDeck) -> None:
    """Keep a deck; the same bytes stay as they are."""
    with store.database.writing() as session:
        store.database.lock(session, _LOCK)
        if session.scalar(select(DeckRow.sha).where(DeckRow.sha == deck.sha)) is None:
            now = store.database.now()
            session.add(DeckRow(sha=deck.sha, file=deck.file, size=deck.size, data=deck.data, kept=now))


def drop_decks(store: Store) -> None:
    """Drop the decks that no edition speaks of and that were never in use."""
    with store.database.writing() as session:
        store.database.lock(session, _LOCK)
        content = session.scalars(select(EditionRow.content)).all()
        spoken_of = {edition[side]["sha256"] for edition in content for side in ("old", "edition")}
        used = set(session.scalars(select(DeckInUseRow.sha)))
        session.execute(delete(DeckRow).where(DeckRow.sha.not_in(spoken_of | used)))


def is_kept(store: Store, sha: str) -> bool:
    """Tell whether the store has a deck."""
    with store.database.reading() as session:
        return session.scalar(select(DeckRow.sha).where(DeckRow.sha == sha)) is not None


def kept_deck(store: Store, sha: str) -> KeptDeck:
    """Return a deck; raises NotFoundError."""
    with store.database.reading() as session:
        row = session.get(DeckRow, sha)
        if row is None:
            raise NotFoundError(Problem("deck", "the store does not have it", "Choose its file again."))
        return KeptDeck(row.sha, row.file, row.size, row.data)


def kept_file(store: Store, sha: str) -> str:
    """Return what a deck's file was called; raises NotFoundError."""
    with store.database.reading() as session:
        file = session.scalar(select(DeckRow.file).where(DeckRow.sha == sha))
    if file is None:
        raise NotFoundError(Problem("deck", "the store does not have it", "Choose its file again."))
    return file


def deck_in_use(store: Store) -> InUse | None:
    """Return the deck in use; None as long as nobody put one in use."""
    history = decks_used(store, most=1)
    return history[0] if history else None


def decks_used(store: Store, *, most: int | None = None) -> tuple[InUse, ...]:
    """Return what was put in use, the latest first, ``most`` of them at most."""
    columns = (DeckInUseRow.sha, DeckRow.file, DeckInUseRow.by, DeckInUseRow.since)
    query = select(*columns).join(DeckRow, DeckRow.sha == DeckInUseRow.sha).order_by(DeckInUseRow.id.desc())
    with store.database.reading() as session:
        return tuple(InUse(*row) for row in session.execute(query if most is None else query.limit(most)).all())


def put_in_use(store: Store, sha: str, *, by: str, instead_of: str) -> None:
    """Put a kept deck in use instead of the one that is; both are kept from then on.

    Raises ConflictError where another one is in use meanwhile, and NotFoundError for one that is not kept.
    """
    with store.database.writing() as session:
        store.database.lock(session, _LOCK)
        latest = session.scalar(select(DeckInUseRow.sha).order_by(DeckInUseRow.id.desc()).limit(1))
        if latest not in (None, instead_of):
            raise ConflictError(
                Problem("deck", "another one was put in use meanwhile", "Look again, then decide. Nothing was changed.")
            )
        known = set(session.scalars(select(DeckRow.sha).where(DeckRow.sha.in_([sha, instead_of]))))
        if {sha, instead_of} - known:
            raise NotFoundError(Problem("deck", "the store does not have it", "Choose its file again."))
        now = store.database.now()
        if latest is None:
            session.add(DeckInUseRow(sha=instead_of, by="", since=now))
            session.flush()  # in this order
        session.add(DeckInUseRow(sha=sha, by=by, since=now))
