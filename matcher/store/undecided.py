"""In which rooms something of what an edition changes is still to be decided: noted beside what it is, to be counted
without reading that.
"""

from __future__ import annotations

from collections.abc import Mapping

from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from matcher.store.tables import EditionOpenRow, EditionRoomRow, Json

_AT_ONCE = 500


def is_open(content: Json, decided: Json) -> bool:
    """Tell whether some change in a room is not decided, of the ``content`` of its row.

    >>> is_open({"changed": [{"kind": "clash"}]}, {}), is_open({"changed": [{"kind": "clash"}]}, {"0": "leave"})
    (True, False)
    """
    return any(str(place) not in decided for place in range(len(content["changed"])))


def note_open(session: Session, edition_id: str, rooms: Mapping[str, bool]) -> None:
    """Note of each of these rooms, by id, whether something is to be decided."""
    mine = EditionOpenRow.edition_id == edition_id, EditionOpenRow.room_id.in_(list(rooms))
    known = set(session.scalars(select(EditionOpenRow.room_id).where(*mine)))
    settled = [room for room in known if not rooms[room]]
    session.execute(delete(EditionOpenRow).where(mine[0], EditionOpenRow.room_id.in_(settled)))
    session.add_all(
        EditionOpenRow(edition_id=edition_id, room_id=room) for room in rooms if rooms[room] and room not in known
    )


def note_all_open(session: Session) -> None:
    """Note it of every room of every edition, of a database that did not until now."""
    columns = (EditionRoomRow.edition_id, EditionRoomRow.room_id, EditionRoomRow.content, EditionRoomRow.decided)
    noted = {(row.edition_id, row.room_id) for row in session.scalars(select(EditionOpenRow))}
    found = session.execute(select(*columns).execution_options(yield_per=_AT_ONCE))
    session.add_all(
        [
            EditionOpenRow(edition_id=edition, room_id=room)
            for edition, room, content, decided in found
            if is_open(content, decided) and (edition, room) not in noted
        ]
    )
