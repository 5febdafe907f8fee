"""Turn pydantic's report on a room file into plain words: the key path, what is wrong, what is allowed."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping, Sequence
from itertools import islice
from typing import TYPE_CHECKING

from pydantic import BaseModel

from matcher.errors import Problem
from matcher.room.contents import (
    Area,
    ContrastWish,
    MeasuredColour,
    MeasuredSurface,
    OutlinedSurface,
    PhotoEntry,
    Reference,
    Room,
    RoomFile,
    SeenRoomEntry,
    Sizes,
    Wishes,
)

if TYPE_CHECKING:
    from pydantic_core import ErrorDetails

# Assumption: more than anybody mends in one go; a file with as many was not written by hand.
MOST_PROBLEMS = 200
_LONGEST = 60  # letters of what is typed that are shown, or compared with what is known

_TABLES: dict[tuple[str, ...], type[BaseModel]] = {
    (): RoomFile,
    ("room",): Room,
    ("wishes",): Wishes,
    ("sizes",): Sizes,
    ("wishes", "contrast"): ContrastWish,
    ("photos",): PhotoEntry,
    ("photos", "references"): Reference,
    ("photos", "surfaces"): OutlinedSurface,
    ("photos", "areas"): Area,
    ("surfaces",): MeasuredSurface,
    ("surfaces", "colours"): MeasuredColour,
    ("rooms",): SeenRoomEntry,
}
_KINDS = {
    "float_type": ("a number", "Write it without quotes."),
    "int_type": ("a whole number", "Write it without quotes or decimals."),
    "string_type": ("text", "Put it in quotes."),
    "bool_type": ("true or false", "Write true or false without quotes."),
    "tuple_type": ("a list", "Write it as [..]."),
    "model_type": ("a table", ""),
    "model_attributes_type": ("a table", ""),
    "dict_type": ("a table", ""),
}


def key_path(location: Sequence[int | str]) -> str:
    """Return ``photos[0].references[1].outline`` for ("photos", 0, "references", 1, "outline").

    >>> key_path(("photos", 0, "file"))
    'photos[0].file'
    """
    text = ""
    for part in (one if isinstance(one, int) else short(str(one)) for one in location):
        text += f"[{part}]" if isinstance(part, int) else f".{part}" if text else part
    return text


def first_problems(problems: Iterable[Problem]) -> list[Problem]:
    """Return the problems; of more than ``MOST_PROBLEMS`` the first, and that there are more."""
    found = list(islice(problems, MOST_PROBLEMS + 1))
    if len(found) > MOST_PROBLEMS:
        found[-1] = Problem("", "there are more mistakes than these", "Mend them and read the file again.")
    return found


def problem_of(error: ErrorDetails, tables: Mapping[tuple[str, ...], type[BaseModel]] = _TABLES) -> Problem:
    """Return the problem in plain words for one entry of ``ValidationError.errors()``.

    ``tables`` gives the model at every key path, the room file's unless said otherwise.
    """
    location = tuple(part for part in error["loc"] if part != "[key]")
    kind, value, context = error["type"], error["input"], error.get("ctx", {})
    where = key_path(location)
    if kind == "extra_forbidden":
        return _unknown_key(location, tables)
    if kind == "missing" and location == ("sizes", "units"):
        return Problem(where, "is missing", 'Write units = "metres" or units = "feet".')
    if kind == "missing":
        return _missing(location)
    if kind == "reflectance_missing":
        remedy = "Give Y of the patch, 0..1; a grey scale may give reflectances, one for each of its steps, instead."
        return Problem(key_path((*location, "reflectance")), "is missing", remedy)
    if kind == "paint_missing":
        return Problem(key_path((*location, "paint")), "is missing", "Give the chip's code as the deck has it.")
    if kind == "literal_error":
        return _not_one_of(where, value, str(context["expected"]))
    if kind == "finite_number":
        return Problem(where, f"{_shown(value)} is not a finite number", "Give the measured value.")
    if kind == "float_type" and type(value) is int:
        return Problem(where, f"{_shown(value)} is too large a number", "Give the measured value.")
    if kind in _KINDS:
        wanted, remedy = _KINDS[kind]
        return Problem(where, f"{_shown(value)} is not {wanted}", remedy)
    if kind == "value_error":
        return Problem(where, str(context["error"]))
    if kind == "string_too_long":
        return Problem(where, f"is longer than {context['max_length']} characters", "Say it in fewer words.")
    if kind == "too_long":
        return Problem(where, f"has {context['actual_length']} entries where {context['max_length']} belong")
    if kind in ("too_short", "string_too_short"):
        return Problem(where, "is empty", "Give at least one, or leave the key out.")
    return Problem(where, f"{_shown(value)}: {error['msg'].lower()}")


def _shown(value: object) -> str:
    return short(
        repr(value) if isinstance(value, str) else str(value).lower() if isinstance(value, bool) else str(value)
    )


def short(text: str) -> str:
    """Return a text as it is shown in a message."""
    return text if len(text) <= _LONGEST else text[: _LONGEST - 3] + "..."


def _not_one_of(where: str, value: object, expected: str) -> Problem:
    allowed = expected.replace("'", "").replace(" or ", ", ").split(", ")
    close = difflib.get_close_matches(str(value)[:_LONGEST].lower(), allowed, n=1)
    hint = f"Did you mean {close[0]!r}?" if close else ""
    return Problem(where, f"{_shown(value)} is not one of {', '.join(allowed)}", hint)


def _unknown_key(location: Sequence[int | str], tables: Mapping[tuple[str, ...], type[BaseModel]]) -> Problem:
    allowed = tuple(tables[tuple(part for part in location[:-1] if isinstance(part, str))].model_fields)
    close = difflib.get_close_matches(str(location[-1])[:_LONGEST], allowed, n=1)
    hint = f"Did you mean {close[0]}? " if close else ""
    return Problem(key_path(location), "is not a known key", f"{hint}Known here: {', '.join(allowed)}.")


def _missing(location: Sequence[int | str]) -> Problem:
    if isinstance(location[-1], int):
        return Problem(key_path(location[:-1]), "has too few numbers", "A point is [x, y]; a colour is [L, a, b].")
    return Problem(key_path(location), "is missing", "Add it.")
