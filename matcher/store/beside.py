"""Rooms beside a room: others of the same consultant, whoever is looking; anybody else's are not there."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from sqlalchemy import ColumnElement, select
from sqlalchemy.orm import aliased

from matcher.store.rooms import rooms_of
from matcher.store.store import Store
from matcher.store.stored import StoredRoom
from matcher.store.tables import RoomRow


class Beside(NamedTuple):
    """What a room is called now, and its revision."""

    name: str
    revision: int


def beside(store: Store, room_id: str, ids: Sequence[str]) -> Mapping[str, Beside]:
    """Return which of ``ids`` are other rooms of the consultant whose room it is, by id."""
    if not ids:
        return {}
    with store.database.reading() as session:
        found = session.execute(select(RoomRow.id, RoomRow.name, RoomRow.revision).where(*_of_one_owner(room_id, ids)))
        return {id_: Beside(name, revision) for id_, name, revision in found}


def load_beside(store: Store, room_id: str, other: str) -> StoredRoom | None:
    """Return another room of the consultant whose room it is; None where it is gone, or not theirs."""
    with store.database.reading() as session:
        row = session.scalar(select(RoomRow).where(*_of_one_owner(room_id, [other])))
        return None if row is None else rooms_of(session, [row])[0]


def _of_one_owner(room_id: str, ids: Sequence[str]) -> tuple[ColumnElement[bool], ...]:
    own = aliased(RoomRow)
    owner = select(own.owner).where(own.id == room_id).scalar_subquery()
    return RoomRow.id.in_(ids), RoomRow.id != room_id, RoomRow.owner == owner
