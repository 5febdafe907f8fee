"""Rooms as rows: listed, loaded, saved against a revision, deleted."""

from __future__ import annotations

import uuid
from collections.abc import Iterable
from datetime import UTC, datetime
from typing import cast

from sqlalchemy import delete, func, select
from sqlalchemy.orm import Session

from matcher.errors import ConflictError, NotFoundError, Problem
from matcher.store import seen
from matcher.store.leaving import finish_leaving, note_leaving
from matcher.store.photo_rows import Arrival, attach, photos_of
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
    now = datetime.now(UTC)
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
    with store.database.writing() as session:
        session.add(room)
        session.flush()
        arrivals = tuple(photos)
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
        row = find(session, room_id, owner=owner)
        return room_of(session, row)


def note_seen(store: Store, owner: str, room_id: str, kind: News, upto: datetime) -> None:
    """Note that the consultant saw what came from the client up to a moment; lost where the disk takes no more."""

    def note(session: Session) -> None:
        find(session, room_id, owner=owner, change=True)
        seen.note_seen(session, room_id, kind, upto)

    store.database.note(note)


def room_of(session: Session, row: RoomRow) -> StoredRoom:
    """Return the whole room of a row."""
    share = latest_share(session, row.id)
    answers, photos = session.execute(select(unseen_answers(), unseen_photos()).where(RoomRow.id == row.id)).one()
    return StoredRoom(
        id=row.id,
        name=row.name,
        revision=row.revision,
        document=row.document,
        brief=row.brief,
        remark=row.remark,
        stage=row.stage,
        photos=photos_of(session, row.id),
        shared=None if share is None else share.content,
        answers=answers_of(session, row.id),
        asked=asked_of(session, row.id),
        share=share,
        news=news_of(answers, photos),
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
        return put_document(row, document)


def save_remark(store: Store, owner: str, room_id: str, remark: str) -> None:
    """Set the remark that stands beside the document; raises NotFoundError."""
    with store.database.writing() as session:
        row = find(session, room_id, owner=owner, change=True)
        row.remark, row.updated = remark, datetime.now(UTC)


def delete_room(store: Store, owner: str, room_id: str) -> None:
    """Delete the room with all that hangs on it, and its photos unless another room has them too."""
    with store.database.writing() as session:
        find(session, room_id, owner=owner, change=True)
        gone = session.execute(select(PhotoRow.sha, PhotoRow.suffix).where(PhotoRow.room_id == room_id)).all()
        note_leaving(session, gone)
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


def put_document(row: RoomRow, document: Json) -> int:
    """Set a new document, and what is kept beside it to list rooms quickly; return the new revision."""
    row.name = document["room"]["name"]
    row.document = document
    row.surfaces = count_surfaces(document)
    row.revision += 1
    row.updated = datetime.now(UTC)
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
    found = session.execute(
        select(AnswerRow, AnswerPartsRow)
        .outerjoin(AnswerPartsRow, AnswerPartsRow.answer_id == AnswerRow.id)
        .where(AnswerRow.room_id == room_id)
        .order_by(AnswerRow.id)
    )
    return tuple(
        Answer(
            cast(Choice, row.choice),
            row.note,
            row.created,
            () if told is None else tuple(RoleAnswer(**part) for part in told.parts["roles"]),
            None if told is None else told.share_id,
        )
        for row, told in found
    )


def asked_of(session: Session, room_id: str) -> Ask | None:
    """Return what is asked for, None where nothing is or it was withdrawn."""
    row = latest_ask(session, room_id)
    return None if row is None or row.withdrawn is not None else Ask(row.kind, row.surface, row.created)


def latest_ask(session: Session, room_id: str) -> AskRow | None:
    """Return what was asked for last, withdrawn or not."""
    return session.scalar(select(AskRow).where(AskRow.room_id == room_id).order_by(AskRow.id.desc()).limit(1))
