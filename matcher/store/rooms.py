"""Rooms as rows: listed, loaded, saved against a revision, deleted."""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import cast

from sqlalchemy import delete, func, select
from sqlalchemy.orm import Session

from matcher.errors import ConflictError, NotFoundError, Problem
from matcher.store import seen
from matcher.store.leaving import finish_leaving, note_leaving
from matcher.store.on_the_way import sent_ahead
from matcher.store.photo_rows import Arrival, attach, photos_by_room
from matcher.store.seen import news_of, unseen_answers, unseen_photos
from matcher.store.store import Store
from matcher.store.stored import Answer, Ask, Choice, Json, News, RoleAnswer, RoomSummary, Share, StoredRoom
from matcher.store.tables import AnswerPartsRow, AnswerRow, AskRow, PhotoRow, RoomRow, SharePictureRow, ShareRow


def no_such_room() -> NotFoundError:
    """Return the one error for a room that is not there and for one that is somebody else's."""
    return NotFoundError(Problem("room", "there is no such room", "It was deleted, or it is not one of yours."))


def create_room(
    store: Store,
    owner: str,
    *,
    name: str,
    document: Json,
    stage: str,
    brief: Json | None = None,
    remark: str = "",
    photos: Iterable[Arrival] = (),
) -> str:
    """Add a room with its photos, all or nothing, and return its id."""
    now = store.database.now()
    arrivals = tuple(photos)
    room = RoomRow(
        id=uuid.uuid4().hex,
        owner=owner,
        name=name,
        document=document,
        surfaces=count_surfaces(document),
        brief=brief or {},
        remark=remark,
        revision=1,
        stage=stage,
        client_events=0,
        seen_events=0,
        created=now,
        updated=now,
    )
    with sent_ahead(store, arrivals), store.database.writing() as session:
        session.add(room)
        session.flush()
        # Locks are taken in one order everywhere, so that no two writers wait for each other.
        for sha in sorted(arrival.sha for arrival in arrivals):
            store.database.lock(session, sha)
        for arrival in arrivals:
            attach(store, session, room.id, arrival)
        return room.id


def list_rooms(store: Store, owner: str) -> tuple[RoomSummary, ...]:
    """Return a consultant's rooms, the one last changed first."""
    count = select(func.count(PhotoRow.id)).where(PhotoRow.room_id == RoomRow.id).scalar_subquery()
    columns = (
        RoomRow.id,
        RoomRow.name,
        RoomRow.stage,
        count,
        RoomRow.surfaces,
        RoomRow.updated,
        unseen_answers(),
        unseen_photos(),
    )
    with store.database.reading() as session:
        found = session.execute(
            select(*columns).where(RoomRow.owner == owner).order_by(RoomRow.updated.desc(), RoomRow.id)
        )
        return tuple(
            RoomSummary(id_, name, stage, photos, surfaces, updated, answers + sent > 0, news_of(answers, sent))
            for id_, name, stage, photos, surfaces, updated, answers, sent in found
        )


def load_room(store: Store, owner: str, room_id: str) -> StoredRoom:
    """Return the whole room; raises NotFoundError."""
    with store.database.reading() as session:
        (room,) = rooms_of(session, [find(session, room_id, owner=owner)])
        return room


def note_seen(store: Store, owner: str, room_id: str, kind: News, upto: datetime) -> None:
    """Note that the consultant saw what came from the client up to a moment; lost where the disk takes no more."""

    def note(session: Session) -> None:
        find(session, room_id, owner=owner, change=True)
        seen.note_seen(session, room_id, kind, upto)

    store.database.note(note)


def rooms_of(session: Session, rows: Sequence[RoomRow]) -> tuple[StoredRoom, ...]:
    """Return the whole rooms of these rows, in their order: what belongs to them is asked for at once."""
    ids = [row.id for row in rows]
    photos, answers, asked = photos_by_room(session, ids), _answers_by_room(session, ids), _asked_by_room(session, ids)
    newest = select(func.max(ShareRow.id)).where(ShareRow.room_id.in_(ids)).group_by(ShareRow.room_id)
    found = session.scalars(select(ShareRow).where(ShareRow.id.in_(newest))).all()
    shares = {row.room_id: share_of(session, row) for row in found}
    unseen = select(RoomRow.id, unseen_answers(), unseen_photos()).where(RoomRow.id.in_(ids))
    news = {room_id: news_of(said, sent) for room_id, said, sent in session.execute(unseen)}
    return tuple(
        StoredRoom(
            id=row.id,
            name=row.name,
            revision=row.revision,
            document=row.document,
            brief=row.brief,
            remark=row.remark,
            stage=row.stage,
            photos=photos[row.id],
            shared=shares[row.id].content if row.id in shares else None,
            answers=answers[row.id],
            asked=asked.get(row.id),
            share=shares.get(row.id),
            news=news[row.id],
        )
        for row in rows
    )


def owns_room(store: Store, owner: str, room_id: str) -> bool:
    """Tell whether the room is this consultant's."""
    with store.database.reading() as session:
        return session.scalar(select(RoomRow.owner).where(RoomRow.id == room_id)) == owner


def save_document(store: Store, owner: str, room_id: str, document: Json, *, revision: int) -> int:
    """Replace the document of ``revision`` and return the new one; raises ConflictError when it is no longer that."""
    with store.database.writing() as session:
        row = find(session, room_id, owner=owner, change=True)
        if row.revision != revision:
            raise ConflictError(
                Problem(
                    row.name,
                    f"was changed elsewhere since you opened it at revision {revision}; it is at {row.revision} now",
                    "Nothing was overwritten. Open the room again and repeat your last change.",
                )
            )
        return put_document(row, document, store.database.now())


def save_remark(store: Store, owner: str, room_id: str, remark: str) -> None:
    """Set the remark that stands beside the document; raises NotFoundError."""
    with store.database.writing() as session:
        row = find(session, room_id, owner=owner, change=True)
        row.remark, row.updated = remark, store.database.now()


def delete_room(store: Store, owner: str, room_id: str) -> None:
    """Delete the room with all that hangs on it, and its photos unless another room has them too."""
    with store.database.writing() as session:
        find(session, room_id, owner=owner, change=True)
        gone = session.execute(select(PhotoRow.sha, PhotoRow.suffix).where(PhotoRow.room_id == room_id))
        note_leaving(store, session, [(sha, suffix) for sha, suffix in gone])
        session.execute(delete(RoomRow).where(RoomRow.id == room_id))
    finish_leaving(store)


def find(session: Session, room_id: str, *, owner: str | None = None, change: bool = False) -> RoomRow:
    """Return the row, locked for a ``change``; with ``owner`` only if it is theirs. Raises NotFoundError."""
    query = select(RoomRow).where(RoomRow.id == room_id)
    if owner is not None:
        query = query.where(RoomRow.owner == owner)
    row = session.scalar(query.with_for_update() if change else query)
    if row is None:
        raise no_such_room()
    return row


def put_document(row: RoomRow, document: Json, now: datetime) -> int:
    """Set a new document ``now``, and what is kept beside it to list rooms quickly; return the new revision."""
    row.name = document["room"]["name"]
    row.document = document
    row.surfaces = count_surfaces(document)
    row.revision += 1
    row.updated = now
    return row.revision


def count_surfaces(document: Json) -> int:
    """Return how many surfaces of different names a draft has, photographed or measured.

    >>> tile = {"name": "tile"}
    >>> count_surfaces({"photos": [{"surfaces": [tile]}, {"surfaces": [tile]}], "surfaces": [{"name": "floor"}]})
    2
    """
    outlined = [surface for photo in document.get("photos", []) for surface in photo.get("surfaces", [])]
    return len({surface.get("name") for surface in [*outlined, *document.get("surfaces", [])]})


def latest_share(session: Session, room_id: str) -> Share | None:
    """Return what was shared last."""
    row = session.scalar(select(ShareRow).where(ShareRow.room_id == room_id).order_by(ShareRow.id.desc()).limit(1))
    return None if row is None else share_of(session, row)


def share_of(session: Session, row: ShareRow) -> Share:
    """Return a share with the names of its pictures."""
    names = select(SharePictureRow.name).where(SharePictureRow.share_id == row.id).order_by(SharePictureRow.id)
    return Share(row.id, row.content, row.created, tuple(session.scalars(names)))


def answers_of(session: Session, room_id: str) -> tuple[Answer, ...]:
    """Return the answers, oldest first."""
    return _answers_by_room(session, [room_id])[room_id]


def _answers_by_room(session: Session, room_ids: Sequence[str]) -> dict[str, tuple[Answer, ...]]:
    found: dict[str, list[Answer]] = {room_id: [] for room_id in room_ids}
    asked = (
        select(AnswerRow, AnswerPartsRow)
        .outerjoin(AnswerPartsRow, AnswerPartsRow.answer_id == AnswerRow.id)
        .where(AnswerRow.room_id.in_(room_ids))
        .order_by(AnswerRow.id)
    )
    for row, told in session.execute(asked):
        parts = () if told is None else tuple(RoleAnswer(**part) for part in told.parts["roles"])
        share_id = None if told is None else told.share_id
        found[row.room_id].append(Answer(cast(Choice, row.choice), row.note, row.created, parts, share_id))
    return {room_id: tuple(answers) for room_id, answers in found.items()}


def asked_of(session: Session, room_id: str) -> Ask | None:
    """Return what is asked for, None where nothing is or it was withdrawn."""
    return _asked_by_room(session, [room_id]).get(room_id)


def _asked_by_room(session: Session, room_ids: Sequence[str]) -> dict[str, Ask]:
    """What is asked for in each of these rooms; rooms where nothing is, or it was withdrawn, are left out."""
    newest = select(func.max(AskRow.id)).where(AskRow.room_id.in_(room_ids)).group_by(AskRow.room_id)
    found = session.scalars(select(AskRow).where(AskRow.id.in_(newest), AskRow.withdrawn.is_(None)))
    return {row.room_id: Ask(row.kind, row.surface, row.created) for row in found}


def latest_ask(session: Session, room_id: str) -> AskRow | None:
    """Return what was asked for last, withdrawn or not."""
    return session.scalar(select(AskRow).where(AskRow.room_id == room_id).order_by(AskRow.id.desc()).limit(1))
