"""A room file while it is being made: the file's tables as plain data, complete or not, and as TOML text."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from typing import Any

from matcher.errors import Problem, RoomFileError
from matcher.room.contents import PhotoEntry, RoomFile, Wishes
from matcher.room.cross_checks import tables
from matcher.room.limits import limit_problems
from matcher.room.wording import first_problems, short

Json = dict[str, Any]
# Assumption: some fifty times what a room with ten photos, traced closely, takes.
_MOST_CHARACTERS = 4_000_000
_MOST_NAME = 200
_ROLES: tuple[str, ...] = Wishes().roles
_POINT = re.compile(r"\[\n\s+([-+.\w]+),\n\s+([-+.\w]+),\n\s+\]")
_LISTS = {"references", "surfaces", "areas"} & set(PhotoEntry.model_fields)


def new_draft(name: str) -> Json:
    """Return the draft of a room nobody has said anything about."""
    return {"room": {"name": name}, "wishes": {"warmth": Wishes().warmth, "roles": list(_ROLES)}, "photos": []}


def checked_draft(draft: object) -> Json:
    """Return a copy of a draft in plain JSON types; what is not there yet is nobody's mistake.

    Raises :class:`matcher.errors.RoomFileError` where a table is none, is not known, or holds what no file can.
    """
    if not isinstance(draft, dict):
        raise RoomFileError(Problem("room file", "is not a table of [room], [wishes], [[photos]] and so on"))
    problems = first_problems(limit_problems(draft) or _problems(draft))
    if problems:
        raise RoomFileError(*problems)
    try:
        text = json.dumps(draft, allow_nan=False, ensure_ascii=False)
        text.encode("utf-8")  # half a character, which JSON can spell and no file can hold, is a ValueError here
    except (TypeError, ValueError, RecursionError) as error:
        raise RoomFileError(Problem("room file", f"holds what cannot be kept ({error})")) from error
    if len(text) > _MOST_CHARACTERS:
        what = f"takes {len(text):,} characters, more than {_MOST_CHARACTERS:,}"
        raise RoomFileError(Problem("room file", what, "Trace outlines with fewer points."))
    copy: Json = json.loads(text)
    return copy


def draft_toml(draft: Json) -> str:
    """Return a checked draft as the text of a room file; keys without a value are left out, as TOML has none."""
    import tomli_w

    # Points on one line each; the writer knows no text of several lines, so what is matched is never inside one.
    return _POINT.sub(r"[\1, \2]", tomli_w.dumps(_without_none(draft)))


def _problems(draft: Json) -> Iterator[Problem]:
    for key, value in draft.items():
        if key not in RoomFile.model_fields:
            yield Problem(short(str(key)), "is not a known key", f"Known here: {', '.join(RoomFile.model_fields)}.")
        elif key in ("photos", "surfaces", "rooms"):
            yield from _list_problems(key, value)
        elif not isinstance(value, dict):
            yield Problem(key, "is not a table")
    room = draft.get("room")
    name = room.get("name") if isinstance(room, dict) else None
    if not isinstance(name, str) or not name.strip() or len(name) > _MOST_NAME or not name.isprintable():
        yield Problem("room.name", f"is missing, is no plain text, or is longer than {_MOST_NAME} characters")
    for index, photo in enumerate(tables(draft, "photos")):
        if not isinstance(photo.get("file"), str):
            yield Problem(f"photos[{index}].file", "is missing", "Name the photo.")
        for key in sorted(_LISTS & set(photo)):
            yield from _list_problems(f"photos[{index}].{key}", photo[key])
        yield from _name_problems(f"photos[{index}].surfaces", tables(photo, "surfaces"))
    yield from _name_problems("surfaces", tables(draft, "surfaces"))
    for index, surface in enumerate(tables(draft, "surfaces")):
        # A room that is kept travels without such files, and none may be asked for in its name.
        if "file" in surface:
            what = "a reading in a file of its own cannot be kept with the room"
            yield Problem(f"surfaces[{index}].file", what, "Write it as lab = [L, a, b], with sd.")


def _list_problems(where: str, value: object) -> Iterator[Problem]:
    if not isinstance(value, list) or not all(isinstance(entry, dict) for entry in value):
        yield Problem(where, "is not a list of tables")


def _name_problems(where: str, surfaces: list[Json]) -> Iterator[Problem]:
    for index, surface in enumerate(surfaces):
        if not isinstance(surface.get("name", ""), str):
            yield Problem(f"{where}[{index}].name", "is not text")


def _without_none(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _without_none(part) for key, part in value.items() if part is not None}
    if isinstance(value, list):
        return [_without_none(part) for part in value if part is not None]
    return value
