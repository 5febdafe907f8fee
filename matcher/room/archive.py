"""A room as one zip: room.toml, its photos, and what was said about it; read without trusting any of it."""

from __future__ import annotations

import io
import json
import shutil
import stat
import struct
import tempfile
import tomllib
import zipfile
import zlib
from collections.abc import Callable, Iterator, Mapping
from contextlib import AbstractContextManager, ExitStack, contextmanager, nullcontext
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, BinaryIO

from matcher.bounded_toml import refuse_unbounded
from matcher.errors import GivensError, Problem, RoomFileError
from matcher.opening import in_words, is_file
from matcher.room.cross_checks import tables
from matcher.room.draft import Json, checked_draft, draft_toml
from matcher.room.limits import MOST_BYTES, MOST_PHOTOS
from matcher.room.photo_name import plain_name

ROOM, BRIEF, REMARK, RESULT = "room.toml", "brief.json", "remark.txt", "result.json"
PHOTOS = "photos/"
_TEXTS = (ROOM, BRIEF, REMARK, RESULT)
# Of a result.json ten times one with every paint of a large deck (assumption); brief and remark are typed by hand.
_MOST_TEXT_BYTES = {ROOM: MOST_BYTES, BRIEF: 200_000, REMARK: 200_000, RESULT: 50_000_000}
# Of the list of members a zip begins with: 46 bytes and a name each (APPNOTE.TXT 4.3.12), and whatever a packer adds.
_MOST_LISTED_BYTES = 1_000_000
_NAMED = 10  # files listed that are missing
# What zipfile raises on damaged data; found by fuzzing.
_DAMAGED = (
    zipfile.BadZipFile,
    zlib.error,
    EOFError,
    OSError,
    ValueError,
    NotImplementedError,
    RuntimeError,
    struct.error,
    OverflowError,
)
# ZIP cannot write a moment before; a fixed one makes the same room the same bytes.
_MOMENT = (1980, 1, 1, 0, 0, 0)


_FEWER = "Check that it is a room's zip; leave out the photos that are not needed."


@dataclass(frozen=True, slots=True)
class Limits:
    """The most that is taken out of a zip, whatever it promises. The numbers are assumptions for one's own files."""

    photos: int = MOST_PHOTOS
    photo_bytes: int = 500_000_000
    all_bytes: int = 10_000_000_000  # of all photos together, unpacked


class RoomArchive:
    """A zip whose list of members was checked; their bytes are checked as they are read."""

    def __init__(self, archive: zipfile.ZipFile, where: str, limits: Limits) -> None:
        self._archive, self._where, self._limits = archive, where, limits
        self._members = self._checked(archive.infolist())
        self._left = limits.all_bytes

    @property
    def photos(self) -> tuple[str, ...]:
        """The names of the photos, without their folder, in the zip's order."""
        return tuple(name.removeprefix(PHOTOS) for name in self._members if name.startswith(PHOTOS))

    def photo(self, name: str) -> bytes:
        """Return a photo's bytes; raises RoomFileError where they are damaged, or too many with those before."""
        data = self._read(PHOTOS + name, self._limits.photo_bytes)
        self._left -= len(data)
        if self._left < 0:
            raise self._error(f"holds photos of more than {in_words(self._limits.all_bytes)} together", _FEWER)
        return data

    def document(self) -> Json:
        """Return the room file as a draft, every photo it names in the zip; raises RoomFileError."""
        text = self.text(ROOM).removeprefix("\ufeff")
        refuse_unbounded(text, f"{self._where}, {ROOM}", RoomFileError)
        try:
            document = checked_draft(tomllib.loads(text))
        except ValueError as error:  # of the syntax, or a number of thousands of digits
            raise self._error(f"its {ROOM} is not valid TOML ({error})") from None
        names = {photo["file"] for photo in tables(document, "photos")}
        missing = sorted(names - {PHOTOS + name for name in self.photos})
        if missing:
            listed = ", ".join(repr(name[:120]) for name in missing[:_NAMED])
            listed += f" and {len(missing) - _NAMED} more" if len(missing) > _NAMED else ""
            raise self._error(f"its {ROOM} names what is not in it: {listed}", f"Photos lie in {PHOTOS} in the zip.")
        return document

    def json(self, name: str) -> Any:
        """Return what a JSON member holds, None where it is left out; raises RoomFileError."""
        if name not in self._members:
            return None
        try:
            return json.loads(self.text(name))
        except (ValueError, RecursionError) as error:
            raise self._error(f"its {name} is not valid JSON ({error})") from None

    def text(self, name: str) -> str:
        """Return a text member, "" where it is left out; raises RoomFileError."""
        if name not in self._members:
            return ""
        try:
            return self._read(name, _MOST_TEXT_BYTES[name]).decode("utf-8")
        except UnicodeDecodeError:
            raise self._error(f"its {name} is not UTF-8 text") from None

    def extract(self, folder: Path) -> Path:
        """Write room file and photos into ``folder`` and return the room file's path."""
        self.document()
        (folder / PHOTOS).mkdir()
        for name in self.photos:
            # The name was checked to be a plain one: it cannot lead out of the folder.
            (folder / PHOTOS / name).write_bytes(self.photo(name))
        path = folder / ROOM
        path.write_text(self.text(ROOM), encoding="utf-8")
        return path

    def _checked(self, found: list[zipfile.ZipInfo]) -> dict[str, zipfile.ZipInfo]:
        if len(found) > self._limits.photos + 2 * len(_TEXTS):
            raise _too_many(self._where, f"{len(found):,} files", self._limits)
        members: dict[str, zipfile.ZipInfo] = {}
        known: set[str] = set()
        for info in found:
            # ``filename`` is what is left of it after the library cut it at a zero byte and turned separators.
            name = info.orig_filename
            if name == PHOTOS:
                continue
            photo = name.removeprefix(PHOTOS)
            if name not in _TEXTS and (not name.startswith(PHOTOS) or not photo or plain_name(photo) != photo):
                belongs = f"Only {', '.join(_TEXTS)} and {PHOTOS}NAME belong in it."
                raise self._error(f"holds {name[:120]!r}, which is not part of a room", belongs)
            if name.casefold() in known:
                raise self._error(f"holds {name!r} twice")
            if info.flag_bits & 1 or info.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
                raise self._error(f"holds {name!r} encrypted or packed in an unusual way", "Pack it as a plain zip.")
            if info.is_dir() or stat.S_ISLNK(info.external_attr >> 16):
                raise self._error(f"holds {name!r}, which is no file")
            known.add(name.casefold())
            members[name] = info
        if ROOM not in members:
            raise self._error(f"holds no {ROOM}", "Export the room again.")
        photos = sum(name.startswith(PHOTOS) for name in members)
        if photos > self._limits.photos:
            raise self._error(f"holds {photos} photos, more than the {self._limits.photos} that a room takes")
        return members

    def _read(self, name: str, most: int) -> bytes:
        """Return a member's bytes: counted as they come, since the size a zip promises may be a lie."""
        try:
            with self._archive.open(self._members[name]) as stream:
                data = stream.read(most + 1)
        except _DAMAGED as error:
            raise self._error(f"is damaged at {name!r} ({error})", "Export the room again.") from None
        if len(data) > most:
            raise self._error(f"holds {name!r} of more than {in_words(most)}", _FEWER)
        return data

    def _error(self, what: str, remedy: str = "") -> RoomFileError:
        return RoomFileError(Problem(self._where, what, remedy))


@contextmanager
def open_archive(source: bytes | Path, where: str, limits: Limits) -> Iterator[RoomArchive]:
    """Open a room's zip, called ``where`` in messages; raises RoomFileError for anything else."""
    with ExitStack() as stack:
        try:
            raw: BinaryIO = io.BytesIO(source) if isinstance(source, bytes) else source.open("rb")
            stream = _Listed(stack.enter_context(raw))
            archive = stack.enter_context(zipfile.ZipFile(stream))
        except _TooLongError as error:
            raise _too_many(where, f"a list of files of {in_words(error.size)}", limits) from None
        except _DAMAGED as error:
            raise RoomFileError(
                Problem(where, f"is not a zip, or a damaged one ({error})", "Use the zip as it was exported.")
            ) from None
        stream.listing = False
        yield RoomArchive(archive, where, limits)


class _TooLongError(Exception):
    """The list of members takes ``size`` bytes."""

    def __init__(self, size: int) -> None:
        super().__init__(size)
        self.size = size


class _Listed:
    """A file that gives out no list of members that is too long.

    The library reads it in one piece and makes an object of every entry: a million of them would fill the memory before
    the first could be looked at.
    """

    def __init__(self, raw: BinaryIO) -> None:
        self._raw, self.listing = raw, True

    def read(self, size: int = -1) -> bytes:
        """Return bytes; raises _TooLongError for more than a list may have, while it is read."""
        if self.listing and size > _MOST_LISTED_BYTES:
            raise _TooLongError(size)
        return self._raw.read(size)

    def seek(self, offset: int, whence: int = 0) -> int:
        """Go to a place."""
        return self._raw.seek(offset, whence)

    def tell(self) -> int:
        """Return the place."""
        return self._raw.tell()

    def seekable(self) -> bool:
        """Tell that every place can be gone to."""
        return True


def _too_many(where: str, held: str, limits: Limits) -> RoomFileError:
    return RoomFileError(
        Problem(where, f"holds {held}: more photos than the {limits.photos} that a room takes", _FEWER)
    )


@contextmanager
def unpacked(path: Path) -> Iterator[Path]:
    """Give the room file at ``path``; that of a room's zip lies in a temporary folder until the end.

    Raises RoomFileError; errors about the unpacked files name them by their place in the zip.
    """
    if path.suffix.lower() != ".zip" or not is_file(path):
        yield path
        return
    with open_archive(path, str(path), Limits()) as archive, tempfile.TemporaryDirectory(prefix="givens-") as folder:
        try:
            yield archive.extract(Path(folder))
        except GivensError as error:
            raise type(error)(*(_renamed(problem, folder, str(path)) for problem in error.problems)) from error


def pack(document: Json, photos: Mapping[str, Path], texts: Mapping[str, str]) -> bytes:
    """Return a room's zip as :func:`pack_into` writes it."""
    stream = io.BytesIO()
    pack_into(stream, document, photos, texts)
    return stream.getvalue()


def pack_into(
    stream: BinaryIO,
    document: Json,
    photos: Mapping[str, Path],
    texts: Mapping[str, str],
    brought: Callable[[Path], AbstractContextManager[object]] = nullcontext,
) -> None:
    """Write a room's zip: ``photos`` by the name the document calls them, ``texts`` by member. Repeatable.

    Each photo is ``brought`` to its path for as long as it is read.
    """
    entries = [{**photo, "file": PHOTOS + photo["file"]} for photo in tables(document, "photos")]
    with zipfile.ZipFile(stream, "w") as archive:
        room = draft_toml({**document, "photos": entries})
        for name, text in {ROOM: room, **texts}.items():
            archive.writestr(_member(name, zipfile.ZIP_DEFLATED), text.encode("utf-8"))
        for name, path in photos.items():
            # Photos are compressed already; one at a time passes through, none is held.
            member = _member(PHOTOS + name, zipfile.ZIP_STORED)
            with brought(path):
                member.file_size = path.stat().st_size
                with path.open("rb") as photo, archive.open(member, "w") as packed:
                    shutil.copyfileobj(photo, packed)


def _member(name: str, packing: int) -> zipfile.ZipInfo:
    info = zipfile.ZipInfo(name, _MOMENT)
    info.compress_type = packing
    info.external_attr = 0o600 << 16
    return info


def _renamed(problem: Problem, folder: str, zip_path: str) -> Problem:
    def renamed(text: str) -> str:
        # Links on the way to the folder for temporary files are followed in some messages.
        for shown in (str(Path(folder).resolve()), folder):
            text = text.replace(shown, zip_path)
        return text

    return replace(problem, where=renamed(problem.where), what=renamed(problem.what), remedy=renamed(problem.remedy))
