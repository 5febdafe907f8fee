"""What came from the client and has not been seen: it stays new until it was seen where it stands."""

from __future__ import annotations

from datetime import UTC, datetime

from sqlalchemy import ScalarSelect, func, or_, select
from sqlalchemy.orm import Session

from matcher.store.stored import News
from matcher.store.tables import AnswerRow, PhotoRow, RoomRow, SeenRow

_NEVER = datetime.fromtimestamp(0, UTC)


def unseen_answers() -> ScalarSelect[int]:
    """Return how many answers of a room came after those that were seen."""
    seen = select(SeenRow.answers).where(SeenRow.room_id == RoomRow.id).correlate(RoomRow).scalar_subquery()
    newer = or_(seen.is_(None), AnswerRow.created > seen)
    found = select(func.count(AnswerRow.id)).where(AnswerRow.room_id == RoomRow.id, newer)
    return found.correlate(RoomRow).scalar_subquery()


def unseen_photos() -> ScalarSelect[int]:
    """Return how many photos of a room came from the client after those that were seen."""
    seen = select(SeenRow.photos).where(SeenRow.room_id == RoomRow.id).correlate(RoomRow).scalar_subquery()
    newer = or_(seen.is_(None), PhotoRow.created > seen)
    found = select(func.count(PhotoRow.id)).where(PhotoRow.room_id == RoomRow.id, PhotoRow.by == "client", newer)
    return found.correlate(RoomRow).scalar_subquery()


def news_of(answers: int, photos: int) -> tuple[News, ...]:
    """Return what is new of a room by how many there are, an answer first: somebody waits for a reply to it."""
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
