"""What was measured of a room, kept beside its photos: the latest measurement, which goes with the room."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field

from sqlalchemy import select
from sqlalchemy.orm import Session

from matcher.store.store import Store
from matcher.store.stored import Json
from matcher.store.tables import MeasurementRow, RoomRow

Lab = tuple[float, float, float]
# As many ids as either database takes in one question.
_AT_ONCE = 500


@dataclass(frozen=True, slots=True)
class StoredMeasurement:
    """``content`` as it was written, of the ``marks`` and by the ``version`` that it was measured with; ``moved`` lists
    what the version before saw otherwise; ``chips`` what paint chips were taken for, CIELAB D65/2 by the photo's hash
    and the code.
    """

    marks: str
    version: str
    content: str
    moved: tuple[Json, ...] = ()
    chips: Mapping[tuple[str, str], Lab] = field(default_factory=dict)


def measurement_of(store: Store, room_id: str) -> StoredMeasurement | None:
    """Return what is kept of a room, whatever it was measured from."""
    return measurements_of(store, [room_id]).get(room_id)


def measurements_of(store: Store, rooms: Collection[str]) -> dict[str, StoredMeasurement]:
    """Return what is kept of these rooms, by id."""
    wanted = list(rooms)
    found: dict[str, StoredMeasurement] = {}
    with store.database.reading() as session:
        for start in range(0, len(wanted), _AT_ONCE):
            some = wanted[start : start + _AT_ONCE]
            for row in session.scalars(select(MeasurementRow).where(MeasurementRow.room_id.in_(some))):
                found[row.room_id] = StoredMeasurement(
                    row.marks, row.version, row.content, tuple(row.moved["surfaces"]), _chips(row.moved)
                )
    return found


def chips_of(store: Store, room_id: str) -> dict[tuple[str, str], Lab]:
    """Return what a room's paint chips were taken for when it was measured last, by the photo's hash and the code."""
    with store.database.reading() as session:
        moved = session.scalar(select(MeasurementRow.moved).where(MeasurementRow.room_id == room_id))
    return _chips(moved or {})


def _chips(moved: Json) -> dict[tuple[str, str], Lab]:
    return {(sha, code): (lab[0], lab[1], lab[2]) for sha, code, lab in moved.get("chips", ())}


def keep_measurement(store: Store, room_id: str, measured: StoredMeasurement) -> None:
    """Keep what was measured of a room in place of what was; lost where the disk takes no more or the room is gone."""

    def keep(session: Session) -> None:
        # Locked, so that two who measured the same do not both add a row.
        if session.scalar(select(RoomRow.id).where(RoomRow.id == room_id).with_for_update()) is None:
            return
        row = session.get(MeasurementRow, room_id)
        if row is None:
            row = MeasurementRow(room_id=room_id)
            session.add(row)
        row.marks, row.version, row.content = measured.marks, measured.version, measured.content
        chips = [[sha, code, list(lab)] for (sha, code), lab in measured.chips.items()]
        row.moved, row.created = {"surfaces": list(measured.moved), "chips": chips}, store.database.now()

    store.database.note(keep)
