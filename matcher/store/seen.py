"""What came from the client and has not been seen: it stays new until it was seen where it stands."""

from __future__ import annotations

from datetime import UTC, datetime

from sqlalchemy import ColumnElement, exists, or_, select
from sqlalchemy.orm import Session

from matcher.store.stored import News
from matcher.store.tables import AnswerRow, PhotoRow, RoomRow, SeenRow

_NEVER = datetime.min.replace(tzinfo=UTC)


def unseen_answers() -> ColumnElement[bool]:
    """Return the condition on a room that an answer came after those that were seen."""
    seen = select(SeenRow.answers).where(SeenRow.room_id == RoomRow.id).scalar_subquery()
    newer = or_(seen.is_(None), AnswerRow.created > seen)
    return exists().where(AnswerRow.room_id == RoomRow.id, newer).correlate(RoomRow)


def unseen_photos() -> ColumnElement[bool]:
    """Return the condition on a room that a photo came from the client after those that were seen."""
    seen = select(SeenRow.photos).where(SeenRow.room_id == RoomRow.id).scalar_subquery()
    newer = or_(seen.is_(None), PhotoRow.created > seen)
    return exists().where(PhotoRow.room_id == RoomRow.id, PhotoRow.by == "client", newer).correlate(RoomRow)


def news_of(answers: bool, photos: bool) -> tuple[News, ...]:
    """Return what is new of a room, an answer first: somebody waits for a reply to it."""
    return (*(("answer",) if answers else ()), *(("photos",) if photos else ()))


def note_seen(session: Session, room_id: str, kind: News, upto: datetime) -> None:
    """Note that the answers, or the photos, that came up to a moment were seen."""
    seen = session.get(SeenRow, room_id)
    if seen is None:
        seen = SeenRow(room_id=room_id, answers=_NEVER, photos=_NEVER)
        session.add(seen)
    if kind == "answer":
        seen.answers = max(seen.answers, upto)
    else:
        seen.photos = max(seen.photos, upto)
