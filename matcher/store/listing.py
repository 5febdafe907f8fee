"""A consultant's rooms a page at a time: sought by name, sorted by whose turn it is, counted without being loaded."""

from __future__ import annotations

import unicodedata
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import ColumnElement, and_, func, not_, or_, select
from sqlalchemy.orm import Session, aliased

from matcher.store.rooms import rooms_of
from matcher.store.seen import unseen_answers, unseen_photos
from matcher.store.store import Store
from matcher.store.stored import StoredRoom, Whose
from matcher.store.tables import AskRow, LinkRow, PhotoRow, RoomRow, ShareRow

# As many ids as either database takes in one question, and more than anybody leafs through.
_MOST_FOUND = 10_000


@dataclass(frozen=True, slots=True)
class ListedRoom:
    """A room with what its card says: ``news`` counts what the client did and nobody has seen, ``waits`` tells that the
    client is to do something next; when something was last ``shared`` and the newest working link was ``linked``.
    """

    room: StoredRoom
    updated: datetime
    news: int
    waits: bool
    shared: datetime | None
    linked: datetime | None


@dataclass(frozen=True, slots=True)
class RoomsPage:
    """Some of the rooms, the one last changed first, and how many there are in all, by whose turn it is."""

    rooms: tuple[ListedRoom, ...]
    counts: Mapping[Whose, int]


def page_of_rooms(store: Store, owner: str, *, like: str, whose: Whose, offset: int, limit: int) -> RoomsPage:
    """Return at most ``limit`` rooms after ``offset`` whose name holds ``like``, whatever its case and accents' form.

    The document of a room that is not among them is not read.
    """
    with store.database.reading() as session:
        sought = [RoomRow.owner == owner]
        if like.strip():
            sought.append(RoomRow.id.in_(_named(session, owner, like)))
        now = store.database.now()
        waits = _waits(now)
        turn = {"all": sought, "mine": [*sought, not_(waits)], "client": [*sought, waits]}
        counts: dict[Whose, int] = {
            "all": _count(session, turn["all"]),
            "client": _count(session, turn["client"]),
        }
        counts["mine"] = counts["all"] - counts["client"]
        shared = select(func.max(ShareRow.created)).where(ShareRow.room_id == RoomRow.id).scalar_subquery()
        linked = select(func.max(LinkRow.created)).where(_opens(now)).scalar_subquery()
        found = session.execute(
            select(RoomRow, unseen_answers() + unseen_photos(), waits, shared, linked)
            .where(*turn[whose])
            .order_by(RoomRow.updated.desc(), RoomRow.id)
            .offset(offset)
            .limit(limit)
        )
        listed = found.all()
        whole = rooms_of(session, [row for row, *_ in listed])
        rooms = tuple(
            ListedRoom(room, row.updated, news, bool(waiting), shared_at, linked_at)
            for room, (row, news, waiting, shared_at, linked_at) in zip(whole, listed, strict=True)
        )
    return RoomsPage(rooms, counts)


def room_with_photos(store: Store, owner: str, shas: Collection[str]) -> str | None:
    """Return the id of the consultant's newest room that holds all these photos."""
    held = select(func.count(PhotoRow.id)).where(PhotoRow.room_id == RoomRow.id, PhotoRow.sha.in_(shas))
    query = (
        select(RoomRow.id)
        .where(RoomRow.owner == owner, held.scalar_subquery() == len(shas))
        .order_by(RoomRow.updated.desc(), RoomRow.id)
        .limit(1)
    )
    with store.database.reading() as session:
        return session.scalar(query) if shas else None


def _waits(now: datetime) -> ColumnElement[bool]:
    """What the client is to do next: answer, send the photo that was asked for, or send the first one.

    Not while something of theirs has not been seen: then the next move is the consultant's.
    """
    later = aliased(AskRow)
    superseded = select(later.id).where(later.room_id == AskRow.room_id, later.id > AskRow.id)
    sent = select(PhotoRow.id).where(
        PhotoRow.room_id == AskRow.room_id, PhotoRow.by == "client", PhotoRow.created > AskRow.created
    )
    asked = select(AskRow.id).where(
        AskRow.room_id == RoomRow.id, AskRow.withdrawn.is_(None), not_(superseded.exists()), not_(sent.exists())
    )
    photos = select(PhotoRow.id).where(PhotoRow.room_id == RoomRow.id)
    links = select(LinkRow.id).where(_opens(now))
    return and_(
        unseen_answers() + unseen_photos() == 0,
        or_(RoomRow.stage == "shared", asked.exists(), and_(not_(photos.exists()), links.exists())),
    )


def _opens(now: datetime) -> ColumnElement[bool]:
    return and_(LinkRow.room_id == RoomRow.id, LinkRow.revoked.is_(None), LinkRow.expires > now)


def _count(session: Session, where: Iterable[ColumnElement[bool]]) -> int:
    return session.scalar(select(func.count(RoomRow.id)).where(*where)) or 0


def _named(session: Session, owner: str, like: str) -> list[str]:
    """Return the ids of rooms whose name holds ``like``: neither database folds the case of all letters by itself."""
    names = session.execute(
        select(RoomRow.id, RoomRow.name).where(RoomRow.owner == owner).order_by(RoomRow.updated.desc())
    )
    part = _folded(like)
    return [id_ for id_, name in names if part in _folded(name)][:_MOST_FOUND]


def _folded(text: str) -> str:
    return " ".join(unicodedata.normalize("NFKC", text).casefold().split())
