"""What a new edition of the deck changes: in the deck, and room by room as each is ranked, so that nothing is lost to a
process that ends midway.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import func, select, update

from matcher.errors import NotFoundError, Problem
from matcher.store.store import Store
from matcher.store.stored import Json
from matcher.store.tables import EditionOpenRow, EditionRoomRow, EditionRow, PhotoRow, RoomRow, ShareRow
from matcher.store.undecided import is_open, note_open

# As many ids as either database takes in one question.
_AT_ONCE = 500


@dataclass(frozen=True, slots=True)
class RoomAsItIs:
    """What of a room a ranking depends on: ``photos`` their hashes by name, ``shared`` what the client sees."""

    id: str
    owner: str
    name: str
    document: Json
    photos: Mapping[str, str]
    shared: Json | None


@dataclass(frozen=True, slots=True)
class StoredEdition:
    """An edition and what it changes in the deck; ``finished`` is None while rooms are still to be ranked."""

    id: str
    content: Json
    begun: datetime
    finished: datetime | None


@dataclass(frozen=True, slots=True)
class RankedRoom:
    """What an edition changes in a room, as it was when its ``state`` was taken, and what was ``decided``."""

    room: str
    name: str
    state: str
    content: Json
    decided: Json


def rooms_as_they_are(store: Store) -> Iterator[RoomAsItIs]:
    """Yield every room of every consultant, by id, some at a time."""
    last = ""
    while True:
        with store.database.reading() as session:
            columns = (RoomRow.id, RoomRow.owner, RoomRow.name, RoomRow.document)
            rows = session.execute(select(*columns).where(RoomRow.id > last).order_by(RoomRow.id).limit(_AT_ONCE)).all()
            if not rows:
                return
            ids = [row.id for row in rows]
            photos: dict[str, dict[str, str]] = {}
            for room, name, sha in session.execute(
                select(PhotoRow.room_id, PhotoRow.name, PhotoRow.sha).where(PhotoRow.room_id.in_(ids))
            ):
                photos.setdefault(room, {})[name] = sha
            latest = select(func.max(ShareRow.id)).where(ShareRow.room_id.in_(ids)).group_by(ShareRow.room_id)
            shared = dict(
                session.execute(select(ShareRow.room_id, ShareRow.content).where(ShareRow.id.in_(latest))).all()
            )
        for row in rows:
            yield RoomAsItIs(row.id, row.owner, row.name, row.document, photos.get(row.id, {}), shared.get(row.id))
        last = ids[-1]


def begin_edition(store: Store, edition_id: str, content: Json) -> None:
    """Note that rooms are ranked against an edition; one that was begun before goes on."""
    with store.database.writing() as session:
        store.database.lock(session, edition_id)
        row = session.get(EditionRow, edition_id)
        if row is None:
            session.add(EditionRow(id=edition_id, content=content, begun=store.database.now(), finished=None))
        else:
            # Looked at again it is the latest, whatever was looked at in between.
            row.content, row.begun, row.finished = content, store.database.now(), None


def keep_ranked(store: Store, edition_id: str, ranked: Mapping[str, tuple[str, Json]]) -> None:
    """Keep what an edition changes in rooms, (state, content) by id: all of these, or none. What was decided of a room
    stands as long as the edition changes the same in it. Rooms that are gone by now are left out.
    """
    now = store.database.now()
    with store.database.writing() as session:
        there = session.scalars(select(RoomRow.id).where(RoomRow.id.in_(list(ranked)))).all()
        known = {
            row.room_id: row
            for row in session.scalars(
                select(EditionRoomRow).where(
                    EditionRoomRow.edition_id == edition_id, EditionRoomRow.room_id.in_(list(ranked))
                )
            )
        }
        left: dict[str, bool] = {}
        for room in there:
            state, content = ranked[room]
            row = known.get(room)
            if row is None:
                row = EditionRoomRow(edition_id=edition_id, room_id=room, decided={}, content=content)
                session.add(row)
            elif row.content["changed"] != content["changed"]:
                row.decided = {}
            row.state, row.content, row.ranked = state, content, now
            left[room] = is_open(content, row.decided)
        session.flush()
        note_open(session, edition_id, left)


def states_of(store: Store, edition_id: str) -> dict[str, str]:
    """Return the state of each room that was ranked against an edition, by id."""
    columns = (EditionRoomRow.room_id, EditionRoomRow.state)
    with store.database.reading() as session:
        found = session.execute(select(*columns).where(EditionRoomRow.edition_id == edition_id))
        return {row.room_id: row.state for row in found}


def finish_edition(store: Store, edition_id: str) -> None:
    """Note that every room was ranked."""
    with store.database.writing() as session:
        session.execute(update(EditionRow).where(EditionRow.id == edition_id).values(finished=store.database.now()))


def latest_edition(store: Store) -> StoredEdition | None:
    """Return the edition that rooms were ranked against last."""
    with store.database.reading() as session:
        row = session.scalar(select(EditionRow).order_by(EditionRow.begun.desc(), EditionRow.id).limit(1))
    return None if row is None else StoredEdition(row.id, row.content, row.begun, row.finished)


def open_rooms(store: Store, owner: str) -> int:
    """Return in how many rooms of an ``owner`` something of the latest edition is to be decided; reads none of it."""
    latest = select(EditionRow.id).order_by(EditionRow.begun.desc(), EditionRow.id).limit(1)
    count = select(func.count()).select_from(EditionOpenRow).join(RoomRow, RoomRow.id == EditionOpenRow.room_id)
    with store.database.reading() as session:
        mine = count.where(EditionOpenRow.edition_id == latest.scalar_subquery(), RoomRow.owner == owner)
        return session.scalar(mine) or 0


def mend_open(store: Store, ranked: Sequence[RankedRoom], edition_id: str) -> None:
    """Note anew what is open, which a server of an earlier version did not."""
    left = {room.room: is_open(room.content, room.decided) for room in ranked}
    store.database.note(lambda session: note_open(session, edition_id, left))


def edition_called(store: Store, edition_id: str) -> StoredEdition:
    """Return an edition by its id; raises NotFoundError."""
    with store.database.reading() as session:
        row = session.get(EditionRow, edition_id)
    if row is None:
        raise NotFoundError(Problem("edition", "nothing is known of it", "Choose its file again."))
    return StoredEdition(row.id, row.content, row.begun, row.finished)


def ranked_rooms(
    store: Store, edition_id: str, *, owner: str | None = None, room: str | None = None
) -> tuple[RankedRoom, ...]:
    """Return what an edition changes in every room, in those of an ``owner``, or in one ``room``, by name."""
    query = (
        select(EditionRoomRow, RoomRow.name)
        .join(RoomRow, RoomRow.id == EditionRoomRow.room_id)
        .where(EditionRoomRow.edition_id == edition_id)
        .order_by(RoomRow.name, RoomRow.id)
    )
    if owner is not None:
        query = query.where(RoomRow.owner == owner)
    if room is not None:
        query = query.where(RoomRow.id == room)
    with store.database.reading() as session:
        return tuple(
            RankedRoom(row.room_id, name, row.state, row.content, row.decided) for row, name in session.execute(query)
        )


def change_in(store: Store, edition_id: str, room_id: str, place: int) -> Json:
    """Return the change number ``place`` that an edition makes in a room; raises NotFoundError where there is none."""
    changes = [change for room in ranked_rooms(store, edition_id, room=room_id) for change in room.content["changed"]]
    if not 0 <= place < len(changes):
        raise _nothing_changes()
    change: Json = changes[place]
    return change


def _nothing_changes() -> NotFoundError:
    return NotFoundError(Problem("edition", "it changes nothing of the kind here", "Open the page again."))


def decide_many(store: Store, owner: str, edition_id: str, decisions: Mapping[str, Mapping[int, str]]) -> None:
    """Note what the consultant made of changes in rooms of theirs, by room and place: all of them, or none. Rooms and
    changes that are not there by now are left out.
    """
    left: dict[str, bool] = {}
    with store.database.writing() as session:
        rows = session.scalars(
            select(EditionRoomRow)
            .join(RoomRow, RoomRow.id == EditionRoomRow.room_id)
            .where(EditionRoomRow.edition_id == edition_id, RoomRow.owner == owner)
        )
        for row in rows:
            made = decisions.get(row.room_id, {})
            known = {str(place): what for place, what in made.items() if place < len(row.content["changed"])}
            if known:
                row.decided = {**row.decided, **known}
                left[row.room_id] = is_open(row.content, row.decided)
        note_open(session, edition_id, left)


def decide(store: Store, owner: str, edition_id: str, room_id: str, place: int, decision: str) -> None:
    """Note what the consultant made of one change in a room of theirs, "" for nothing yet; raises NotFoundError."""
    with store.database.writing() as session:
        row = session.scalar(
            select(EditionRoomRow)
            .join(RoomRow, RoomRow.id == EditionRoomRow.room_id)
            .where(EditionRoomRow.edition_id == edition_id, EditionRoomRow.room_id == room_id, RoomRow.owner == owner)
        )
        if row is None or not 0 <= place < len(row.content["changed"]):
            raise _nothing_changes()
        others = {key: value for key, value in row.decided.items() if key != str(place)}
        row.decided = {**others, str(place): decision} if decision else others
        note_open(session, edition_id, {room_id: is_open(row.content, row.decided)})
