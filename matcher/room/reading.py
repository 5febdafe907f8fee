"""Read a room file (TOML): every mistake in it named in one go, or the whole file as data."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from itertools import chain
from os import PathLike
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from matcher.bounded_toml import refuse_unbounded
from matcher.errors import Problem, RoomFileError
from matcher.opening import read_bytes
from matcher.room.contents import RoomFile
from matcher.room.cross_checks import cross_problems
from matcher.room.limits import MOST_BYTES, limit_problems
from matcher.room.measured import measured
from matcher.room.wording import first_problems, problem_of


def read_room(path: str | PathLike[str], *, lies_at: Path | None = None) -> RoomFile:
    """Return the room file at ``path``, checked against its photos' sizes; ``lies_at`` is the zip that it was taken out
    of, where it was: the rooms seen from this one lie beside that.

    Raises :class:`matcher.errors.RoomFileError` with one problem for each mistake, or with what there is too much of
    (:mod:`matcher.room.limits`) alone.
    """
    path = Path(path)
    raw = _parse(path, _read_text(path))
    _refuse_too_much(raw)
    own = path if lies_at is None else lies_at
    problems: Iterator[Problem] = cross_problems(raw, path.parent, own=own, beside=own.parent)
    room_file = None
    try:
        room_file = RoomFile.model_validate(raw, context={"folder": path.parent})
    except ValidationError as error:
        problems = chain(map(problem_of, error.errors(include_url=False)), problems)
    first = first_problems(problems)
    if first or room_file is None:
        raise RoomFileError(*first)
    return room_file


def read_document(path: Path) -> dict[str, Any]:
    """Return the tables of a room file that :func:`read_room` takes; raises what it raises.

    A reading that lies in a file of its own is written out, so that the tables stand by themselves.
    """
    room_file = read_room(path)
    document = _parse(path, _read_text(path))
    for table, surface in zip(document.get("surfaces", ()), room_file.surfaces, strict=True):
        if surface.file is not None:
            found = measured(surface, room_file.folder)
            for key in ("file", "light", "observer"):
                table.pop(key, None)
            table |= {"lab": list(found.colours[0].lab), "sd": found.sd}
    return document


def room_of(document: Mapping[str, Any], paths: Mapping[str, Path]) -> RoomFile:
    """Return a room held as tables instead of a file; ``paths`` says where each photo's file is kept.

    Raises what :func:`read_room` does.
    """
    _refuse_too_much(document)
    try:
        return RoomFile.model_validate(dict(document), context={"paths": paths})
    except ValidationError as error:
        raise RoomFileError.of(first_problems(map(problem_of, error.errors(include_url=False)))) from None


def _refuse_too_much(document: Mapping[str, Any]) -> None:
    problems = limit_problems(document)
    if problems:
        raise RoomFileError.of(first_problems(problems))


def _read_text(path: Path) -> str:
    data = read_bytes(path, RoomFileError, "a room file", "Name the .toml file in it.", most=MOST_BYTES)
    try:
        # Editors on Windows put a byte order mark in front, which TOML does not allow for.
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise _error(
            path, f"line {line} is not UTF-8 (byte {data[error.start]:02X})", "Save the room file as UTF-8 text."
        ) from None


def _parse(path: Path, text: str) -> dict[str, Any]:
    refuse_unbounded(text, str(path), RoomFileError)
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        # The library writes "what (at line 3, column 7)".
        match = re.fullmatch(r"(?P<what>.*) \(at (?P<where>.*)\)", str(error), flags=re.DOTALL)
        what, where = (match["what"], match["where"]) if match else (str(error), "")
        raise RoomFileError(
            Problem(
                f"{path}, {where}" if where else str(path),
                f"is not valid TOML: {what[:1].lower()}{what[1:]}",
                "Text stands in quotes, lists in [ ], one key = value a line.",
            )
        ) from None
    except ValueError:
        # Python converts whole numbers of up to 4300 digits.
        raise _error(path, "holds a number of thousands of digits", "Write numbers as they were measured.") from None


def _error(path: Path, what: str, remedy: str) -> RoomFileError:
    return RoomFileError(Problem(str(path), what, remedy))
