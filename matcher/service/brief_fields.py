"""The consultant's brief, a field at a time: what one field says is saved alone, and what others saved stays."""

from __future__ import annotations

import copy
from typing import TYPE_CHECKING, Any, Literal, NamedTuple

from matcher.errors import ConflictError, Problem, RequestError

if TYPE_CHECKING:
    from matcher.service.desk import Desk
    from matcher.store.stored import User

Json = dict[str, Any]
Field = Literal[
    "name", "kind", "facing", "lamps_k", "latitude", "date", "country", "built", "warmth", "roles", "lrv",
    "units", "length", "width", "height", "openings", "walls", "trim", "ceiling", "cabinets", "island",
    "accent", "door",
    "avoid", "avoid_families", "most_paints", "lrv_of", "contrast", "one_trim",
]  # fmt: skip
# Where a field stands in the room file.
_TABLES: dict[Field, str] = {
    "name": "room", "kind": "room", "facing": "room", "lamps_k": "room", "latitude": "room", "date": "room",
    "country": "room", "built": "room",
    "warmth": "wishes", "roles": "wishes", "lrv": "wishes",
    "units": "sizes", "length": "sizes", "width": "sizes", "height": "sizes", "openings": "sizes", "walls": "sizes",
    "trim": "sizes", "ceiling": "sizes", "cabinets": "sizes", "island": "sizes", "accent": "sizes", "door": "sizes",
    "avoid": "wishes", "avoid_families": "wishes", "most_paints": "wishes", "lrv_of": "wishes", "contrast": "wishes",
    "one_trim": "wishes",
}  # fmt: skip
_KEPT = ("avoid", "avoid_families", "most_paints", "lrv_of", "contrast", "one_trim")  # wishes that are not weighed
# Assumption: nobody is overtaken as often within the moment that reading and writing take.
_MOST_TURNS = 5


class Saved(NamedTuple):
    """The revision that a field was saved over, and the one it made; the same where it changed nothing."""

    over: int
    revision: int


def with_field(document: Json, field: Field, value: Any) -> Json:
    """Return a copy of a draft in which ``field`` says ``value``, and None leaves it unsaid.

    Sizes are in metres until the units are said, and go with the last of them. Raises RequestError for a name that is
    empty or too long, roles that are none, an LRV range without a width, and wishes that no room file may hold.
    """
    from matcher.service.typed_text import line

    changed = copy.deepcopy(document)
    table = changed.setdefault(_TABLES[field], {})
    if field == "name":
        if not (value or "").strip():
            raise RequestError(Problem("name", "a room needs one", f"Until then it is called “{table.get('name')}”."))
        value = line(value, "name")
    elif field == "roles" and not value:
        raise RequestError(
            Problem("what may be painted", "nothing is chosen", "Choose one at least; until then it stays as it was.")
        )
    elif field == "lrv" and value is not None:
        low, high = value
        if not low < high:
            raise RequestError(Problem("LRV of the walls", f"{low:g} to {high:g} is no range", "Pull the ends apart."))
        value = [float(low), float(high)]
    elif field in _KEPT and value is not None:
        from matcher.room.wishes import checked_wishes

        checked_wishes({field: value})
    if value is None:
        table.pop(field, None)
    else:
        table[field] = list(value) if isinstance(value, tuple) else value
    if _TABLES[field] == "sizes":
        table.setdefault("units", "metres")
        if table == {"units": "metres"}:
            del changed["sizes"]
    return changed


def save_field(desk: Desk, user: User, room_id: str, field: Field, value: Any) -> Saved:
    """Save one field over the room as it is now.

    Raises what :func:`with_field` does; NotFoundError; ConflictError where others keep saving in between.
    """
    from matcher.service.desk import load_room, save_document

    for turn in range(_MOST_TURNS):
        room = load_room(desk, user, room_id)
        changed = with_field(room.document, field, value)
        if changed == room.document:
            return Saved(room.revision, room.revision)
        try:
            return Saved(room.revision, save_document(desk, user, room_id, changed, revision=room.revision))
        except ConflictError:
            # The one field was made from nothing that has changed.
            if turn == _MOST_TURNS - 1:
                raise
    raise AssertionError("the last turn returns or raises")
