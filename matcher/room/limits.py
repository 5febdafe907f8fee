"""The most that one room may hold, looked at before anything else is: whatever is checked then is short enough.

The numbers are assumptions, ten times what a large house takes and more, small enough that a room at every limit is
read in seconds. Beyond them a file is not one room, or was not made by hand.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from matcher.errors import Problem
from matcher.room.outline import MOST_POINTS

MOST_BYTES = 10_000_000  # of a room file: 100,000 points take some 3 MB
MOST_PHOTOS = MOST_SURFACES = 500
MOST_ROOMS = 6  # seen from one: a hall with doors on all sides
MOST_MARKS = 500  # references, surfaces or areas of a photo, and outlines of all of them together
MOST_POINTS_IN_ALL = 100_000
_MOST_KEYS = 100  # of one table, known or not
_MOST_DEEP = 20
_SHOWN = 40  # letters of a key
_SPLIT = "Make several rooms of it, or leave out what is not needed."
_FEWER = "Trace with fewer points: straight edges need two."

Table = Mapping[str, Any]


def limit_problems(document: Table) -> list[Problem]:
    """Return what a room holds too much of; what is malformed otherwise is not looked at."""
    return list(_too_much(document)) or list(_elsewhere(document))


def _too_much(document: Table) -> Iterator[Problem]:
    for key, most in (("photos", MOST_PHOTOS), ("surfaces", MOST_SURFACES)):
        if _length(document.get(key)) > most:
            yield _too_many(key, _length(document[key]), "entries", most, _SPLIT)
            return
    if _length(document.get("rooms")) > MOST_ROOMS:
        remedy = "Keep those that are seen from this one through an open door."
        yield _too_many("rooms", _length(document["rooms"]), "entries", MOST_ROOMS, remedy)
        return
    points = 0
    for index, photo in enumerate(_entries(document, "photos")):
        outlines = 0
        for kind in ("references", "surfaces", "areas"):
            where = f"photos[{index}].{kind}"
            if _length(photo.get(kind)) > MOST_MARKS:
                yield _too_many(where, _length(photo[kind]), "entries", MOST_MARKS, _SPLIT)
                return
            for place, entry in enumerate(_entries(photo, kind)):
                for key, outline in _outlines(entry):
                    outlines += 1
                    points += _length(outline)
                    if _length(outline) > MOST_POINTS:
                        yield _too_many(f"{where}[{place}].{key}", len(outline), "points", MOST_POINTS, _FEWER)
        if outlines > MOST_MARKS:
            yield _too_many(f"photos[{index}]", outlines, "outlines", MOST_MARKS, _SPLIT)
    if points > MOST_POINTS_IN_ALL:
        yield _too_many("photos", points, "points in all outlines", MOST_POINTS_IN_ALL, _FEWER)


def _elsewhere(document: Table) -> Iterator[Problem]:
    """Yield the first list or table that is too long or too deep, known or not."""
    waiting: list[tuple[str, Any, int]] = [("", document, 1)]
    while waiting:
        where, value, deep = waiting.pop()
        if deep > _MOST_DEEP:
            yield Problem(where[: 2 * _SHOWN], f"is nested more than {_MOST_DEEP} deep", "Lists go three deep at most.")
            return
        if isinstance(value, Mapping):
            if len(value) > _MOST_KEYS:
                yield _too_many(where or "room file", len(value), "keys", _MOST_KEYS, "Keep those of a room file.")
                return
            before = f"{where}." if where else ""
            waiting += [(before + str(key)[:_SHOWN], part, deep + 1) for key, part in value.items()]
        elif isinstance(value, (list, tuple)):
            # Longer outlines were named with their own words.
            if len(value) > MOST_POINTS and not where.endswith(("outline", "]")):
                yield _too_many(where, len(value), "entries", MOST_POINTS, "Leave out what is not needed.")
                return
            inside = f"{where}[]"
            waiting += [(inside, part, deep + 1) for part in value if isinstance(part, (Mapping, list, tuple))]


def _outlines(entry: Table) -> Iterator[tuple[str, Any]]:
    if "outline" in entry:
        yield "outline", entry["outline"]
    for key in ("outlines", "holes"):
        if isinstance(entry.get(key), (list, tuple)):
            yield from ((f"{key}[{index}]", outline) for index, outline in enumerate(entry[key]))


def _entries(table: Table, key: str) -> list[Table]:
    found = table.get(key)
    return [entry if isinstance(entry, Mapping) else {} for entry in found] if isinstance(found, (list, tuple)) else []


def _length(value: Any) -> int:
    return len(value) if isinstance(value, (list, tuple)) else 0


def _too_many(where: str, count: int, of: str, most: int, remedy: str) -> Problem:
    return Problem(where, f"has {count:,} {of}, more than {most:,}", remedy)
