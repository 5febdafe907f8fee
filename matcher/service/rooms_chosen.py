"""Which rooms the brief says are seen from a room, and through what: as its draft tells them, and what may be chosen.

The draft names a room of the store by its id and keeps the name it went by, so that a room that is gone can be named;
a room that was brought in from a file may name files of others, which stay until they are taken out.
"""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Any

from matcher.errors import Problem, RequestError

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from matcher.service.desk import Desk
    from matcher.store.stored import StoredRoom, User

Json = dict[str, Any]
# Assumption: a doorway in words, not its story.
MOST_THROUGH = 60


def reference_of(entry: Json) -> str:
    """Return what stands for the room of a draft's entry: its id in the store, or its file."""
    return str(entry.get("stored") or entry.get("file") or "")


def entries_of(document: Json) -> list[Json]:
    """Return the draft's entries, each room once."""
    once: dict[str, Json] = {}
    for entry in document.get("rooms", ()):
        once.setdefault(reference_of(entry), entry)
    return list(once.values())


def with_rooms(document: Json, names: Mapping[str, str]) -> list[Json]:
    """Return the draft's entries with exactly the rooms of ``names``, by reference; those that were there before keep
    what they are seen through.

    >>> hall = {"stored": "1a", "name": "Hall", "through": "arch"}
    >>> with_rooms({"rooms": [hall, {"file": "attic.toml"}]}, {"1a": "Hall", "2b": "Den"})
    [{'stored': '1a', 'name': 'Hall', 'through': 'arch'}, {'stored': '2b', 'name': 'Den'}]
    """
    kept = [entry for entry in entries_of(document) if reference_of(entry) in names]
    there = {reference_of(entry) for entry in kept}
    return [*kept, *({"stored": id_, "name": name} for id_, name in names.items() if id_ not in there)]


def with_through(document: Json, reference: str, through: str | None) -> list[Json]:
    """Return the draft's entries with what one of the rooms is seen through; nothing is said of it without a word.

    Raises RequestError for words too many.
    """
    from matcher.service.typed_text import line

    said = line(through, "seen through", longest=MOST_THROUGH) if through and through.strip() else ""
    changed = []
    for entry in entries_of(document):
        if reference_of(entry) == reference:
            kept = {key: value for key, value in entry.items() if key != "through"}
            changed.append({**kept, "through": said} if said else kept)
        else:
            changed.append(entry)
    return changed


def rooms_line(document: Json, names: Mapping[str, str]) -> str:
    """Return the rooms that are seen, by their ``names``, each with what it is seen through; "" for none.

    >>> rooms_line({"rooms": [{"stored": "1a", "through": "arch"}, {"stored": "2b"}]}, {"1a": "Hall", "2b": "Den"})
    'Hall (arch), Den'
    """
    from matcher.report.sentences import ROOM_THROUGH

    parts = []
    for entry in entries_of(document):
        name, through = names[reference_of(entry)], entry.get("through")
        parts.append(ROOM_THROUGH.format(name=name, through=through) if through else name)
    return ", ".join(parts)


def offered_rooms(desk: Desk, user: User, room: StoredRoom) -> dict[str, str]:
    """Return what each other room of the consultant is called, by id, the one last changed first; then whatever else
    the draft names, by its reference. Rooms of one name tell when they were changed.
    """
    from matcher.report.sentences import ROOM_CHANGED, ROOM_GONE
    from matcher.service.desk import list_rooms

    others = [other for other in list_rooms(desk, user) if other.id != room.id]
    times = Counter(other.name for other in others)
    names = {
        other.id: other.name if times[other.name] == 1 else ROOM_CHANGED.format(name=other.name, at=other.updated)
        for other in others
    }
    for entry in entries_of(room.document):
        called = str(entry.get("name") or entry.get("file") or "")
        names.setdefault(reference_of(entry), ROOM_GONE.format(name=called))
    return names


def chosen_rooms(desk: Desk, room: StoredRoom, references: Iterable[str]) -> dict[str, str]:
    """Return the names of the rooms chosen, by reference: rooms of the consultant's whose ``room`` it is, or such as
    the draft names already.

    Raises RequestError for more than a room may see, and for a room that is not there, or somebody else's.
    """
    from matcher.room.limits import MOST_ROOMS
    from matcher.service.doorways import beside

    asked = list(dict.fromkeys(references))
    if len(asked) > MOST_ROOMS:
        what = f"{len(asked)} are chosen, more than the {MOST_ROOMS} that a room may have"
        raise RequestError(Problem("rooms in view", what, "Keep those that are seen through an open door."))
    named = {reference_of(entry): str(entry.get("name") or "") for entry in entries_of(room.document)}
    there = beside(desk, room, asked)
    if not {*asked} <= {*there, *named}:
        raise RequestError(Problem("rooms in view", "there is no such room", "Choose one of your other rooms."))
    return {reference: there[reference].name if reference in there else named[reference] for reference in asked}
