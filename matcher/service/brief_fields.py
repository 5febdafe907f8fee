"""The consultant's brief, a field at a time: what one field says is saved alone, and what others saved stays."""

from __future__ import annotations

import copy
import re
from datetime import date
from typing import TYPE_CHECKING, Any, Literal, NamedTuple

from matcher.errors import ConflictError, Problem, RequestError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matcher.service.desk import Desk
    from matcher.store.stored import User

Json = dict[str, Any]
Field = Literal[
    "name", "kind", "facing", "lamps_k", "latitude", "date", "country", "built", "warmth", "roles", "lrv",
    "avoid", "avoid_families", "most_paints", "lrv_of", "contrast", "one_trim",
    "rooms",
    "units", "length", "width", "height", "openings", "walls", "trim", "ceiling", "cabinets", "island",
    "accent", "door",
]  # fmt: skip
# Where a field stands in the room file.
_TABLES: dict[Field, str] = {
    "name": "room", "kind": "room", "facing": "room", "lamps_k": "room", "latitude": "room",
    "date": "room", "country": "room", "built": "room",
    "warmth": "wishes", "roles": "wishes", "lrv": "wishes",
    "avoid": "wishes", "avoid_families": "wishes", "most_paints": "wishes", "lrv_of": "wishes", "contrast": "wishes",
    "one_trim": "wishes",
    "rooms": "rooms",
    "units": "sizes", "length": "sizes", "width": "sizes", "height": "sizes", "openings": "sizes", "walls": "sizes",
    "trim": "sizes", "ceiling": "sizes", "cabinets": "sizes", "island": "sizes", "accent": "sizes", "door": "sizes",
}  # fmt: skip
# Whatever the LRV of a role: what a range from end to end says.
_ANY_LRV = (0, 100)
# What a form shows of a field that nobody said anything of, where that is not nothing.
_UNSAID: Json = {"roles": ["walls", "trim"], "warmth": "either"}
# Assumption: nobody is overtaken as often within the moment that reading and writing take.
_MOST_TURNS = 5


class Saved(NamedTuple):
    """The revision that a field was saved over, and the one it made; the same where it changed nothing."""

    over: int
    revision: int


def with_field(document: Json, field: Field, value: Any, *, part: tuple[str, ...] = ()) -> Json:
    """Return a copy of a draft in which ``field`` says ``value``, and None or nothing leaves it unsaid.

    ``part``, where a part alone is saved, is the role of an LRV range that is kept (``lrv_of``, value (low, high)), the
    two roles of a ``contrast`` (value (at least, at most), None for either), or the room of ``rooms`` that is seen
    through what the value says (without a part their names: :mod:`matcher.service.rooms_chosen`). Sizes are in metres
    until the units are said, and go with the last of them. Raises RequestError for a name that is empty or too long,
    roles that are none, an LRV range without a width, and for what no room file may say there.
    """
    from matcher.service.rooms_chosen import with_rooms, with_through
    from matcher.service.typed_text import line

    changed = copy.deepcopy(document)
    if field == "rooms":
        entries = with_through(changed, part[0], value) if part else with_rooms(changed, value or {})
        changed.pop("rooms", None)
        return {**changed, "rooms": entries} if entries else changed
    table = changed.setdefault(_TABLES[field], {})
    if field == "name":
        if not (value or "").strip():
            raise RequestError(Problem("name", "a room needs one", f"Until then it is called “{table.get('name')}”."))
        value = line(value, "name")
    elif field == "roles" and not value:
        raise RequestError(
            Problem("what may be painted", "nothing is chosen", "Choose one at least; until then it stays as it was.")
        )
    elif isinstance(value, date):
        value = value.isoformat()
    elif field == "lrv" and value is not None:
        value = _range(value, "LRV of the walls")
    elif field == "lrv_of" and part:
        (role,) = part
        value = _others(table.get(field), role, None if value in (None, _ANY_LRV) else _range(value, f"LRV: {role}"))
    elif field == "contrast" and part:
        value = _other_pairs(table.get(field, ()), part, value)
    if value is None or value is False or value in ((), [], {}, ""):
        table.pop(field, None)
    else:
        table[field] = list(value) if isinstance(value, tuple) else value
        _refuse_impossible(changed, field)
    if _TABLES[field] == "sizes":
        table.setdefault("units", "metres")
        if table == {"units": "metres"}:
            del changed["sizes"]
    return changed


def is_said(document: Json, field: Field, value: Any, *, part: tuple[str, ...] = ()) -> bool:
    """Tell whether a form that shows ``value`` of a field shows what the draft says; of rooms seen it is not told.

    >>> is_said({"wishes": {"lrv": [40.4, 80.0]}}, "lrv", (40, 80)), is_said({}, "warmth", "either")
    (True, True)
    >>> is_said({"room": {"name": "Hall"}}, "name", "Hall, north")
    False
    """
    said = document.get(_TABLES[field], {})
    if field == "rooms" or (field not in said and value == _UNSAID.get(field)):
        return True
    present = said.get(field)
    if part and field == "lrv_of":
        present = (present or {}).get(part[0])
    if field in ("lrv", "lrv_of") and value is not None and present:
        # A slider shows whole numbers.
        return bool(value == tuple(round(end) for end in present))
    if field == "avoid":
        return bool(value == ", ".join(present or ()))
    try:
        return with_field(document, field, value, part=part) == document
    except RequestError:
        return False


def _range(value: tuple[float, float], where: str) -> list[float]:
    low, high = value
    if not low < high:
        raise RequestError(Problem(where, f"{low:g} to {high:g} is no range", "Pull the ends apart."))
    return [float(low), float(high)]


def _others(ranges: Json | None, role: str, own: list[float] | None) -> Json:
    """Return the LRV ranges of the other roles with this one's."""
    kept = {other: value for other, value in (ranges or {}).items() if other != role}
    return kept if own is None else {**kept, role: own}


def _other_pairs(pairs: Sequence[Json], roles: tuple[str, ...], asked: tuple[float | None, float | None] | None) -> Any:
    """Return what is asked of the other pairs of roles with what is asked of this one, which keeps its place."""
    least, most = asked or (None, None)
    limits = {key: float(value) for key, value in (("at_least", least), ("at_most", most)) if value is not None}
    own = [{"between": list(roles), **limits}] if limits else []
    kept: list[Json] = []
    for pair in pairs:
        if set(pair["between"]) == set(roles):
            kept += own
            own = []
        else:
            kept.append(pair)
    return kept + own


def _refuse_impossible(draft: Json, field: Field) -> None:
    """Raise RequestError where a field by itself says what no room file may say."""
    from matcher.errors import RoomFileError
    from matcher.room.reading import room_of

    key = f"{_TABLES[field]}.{field}"
    said: dict[str, Any] = {table: dict(draft[table]) for table in ("room", "wishes", "sizes") if table in draft}
    if "sizes" in said:
        said["sizes"].setdefault("units", "metres")
    try:
        room_of(said, {})
    except RoomFileError as error:
        own = [problem for problem in error.problems if re.split(r"[.\[]", problem.where)[:2] == key.split(".")]
        if own:
            raise RequestError(
                *(Problem(_within(problem.where, key), problem.what, problem.remedy) for problem in own)
            ) from None


def _within(where: str, key: str) -> str:
    """Return where in a field something is; "" for the field as a whole."""
    return where.rpartition(key)[2] and where.partition(".")[2]


def save_field(desk: Desk, user: User, room_id: str, field: Field, value: Any, *, part: tuple[str, ...] = ()) -> Saved:
    """Save one field over the room as it is now; paints to ``avoid`` may be a text of codes and names, ``rooms`` a list
    of ids.

    Raises what :func:`with_field` does; NotFoundError; ConflictError where others keep saving in between.
    """
    from matcher.service.desk import load_room, save_document
    from matcher.service.live import meant_paints
    from matcher.service.rooms_chosen import chosen_rooms

    if field == "avoid" and isinstance(value, str):
        value = meant_paints(desk, value)

    for turn in range(_MOST_TURNS):
        room = load_room(desk, user, room_id)
        said = chosen_rooms(desk, room, value or ()) if field == "rooms" and not part else value
        changed = with_field(room.document, field, said, part=part)
        if changed == room.document:
            return Saved(room.revision, room.revision)
        try:
            return Saved(room.revision, save_document(desk, user, room_id, changed, revision=room.revision))
        except ConflictError:
            # The one field was made from nothing that has changed.
            if turn == _MOST_TURNS - 1:
                raise
    raise AssertionError("the last turn returns or raises")
