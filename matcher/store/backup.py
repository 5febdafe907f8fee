"""The whole store as one file, taken while the app runs; and that file made a store again, in an empty folder.

SQLite only: its own online backup gives the database as it was at one moment, and the photos which that moment knows go
with it. A zip, so that any system's tools open it: ``givens.db``, ``photos/ab/<sha>.<suffix>``, ``backup.json``.
"""

from __future__ import annotations

import hashlib
import json
import re
import shutil
import sqlite3
import zipfile
from collections.abc import Iterator
from contextlib import ExitStack, closing, contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from sqlalchemy import select

from matcher.errors import PhotoError, Problem, RequestError
from matcher.store.private_files import make_folder, move_into_place, new_file, sync
from matcher.store.store import Store
from matcher.store.tables import SCHEMA_VERSION, PhotoRow, RoomRow
from matcher.store.workspace import Workspace

DATABASE, ABOUT, FORMAT = "givens.db", "backup.json", "givens-backup/1"
_PHOTO = re.compile(r"photos/([0-9a-f]{2})/(\1[0-9a-f]{62})(\.[a-z0-9]{1,8})")
# Assumption: photos are removed seldom; each time one went while it was to be copied, everything is looked at again.
_MOST_TURNS = 20
_MOST_ABOUT_BYTES = 100_000
_CHUNK = 1 << 20


@dataclass(frozen=True, slots=True)
class BackedUp:
    """What a backup holds."""

    rooms: int
    photos: int
    size: int  # bytes of the file


def write_backup(store: Store, target: Path) -> BackedUp:
    """Write everything the store knows at one moment into ``target``, whole or not at all.

    Raises RequestError for a database that is none of SQLite's, a ``target`` that is there, and a disk that refuses.
    """
    if not store.database.is_sqlite:
        raise RequestError(
            Problem(
                "database_url",
                "is a PostgreSQL server's, which has a way of its own",
                "Dump it with pg_dump, then copy the photos; DEVELOPERS.md says how.",
            )
        )
    with _writing(target) as unfinished, ExitStack() as links:
        snapshot, photos = _moment(store, links)
        with (
            new_file(unfinished) as stream,
            zipfile.ZipFile(stream, "w", zipfile.ZIP_STORED, allowZip64=True) as zipped,
        ):
            zipped.write(snapshot, DATABASE, zipfile.ZIP_DEFLATED)
            for name, path in photos.items():
                zipped.write(path, name)
                path.unlink()  # where it is a copy, no more than one of everything lies here
            with closing(sqlite3.connect(f"file:{snapshot}?mode=ro", uri=True)) as copy:
                rooms = int(copy.execute("SELECT count(*) FROM rooms").fetchone()[0])
            about = {"format": FORMAT, "made": datetime.now(UTC).isoformat(timespec="seconds")}
            zipped.writestr(ABOUT, json.dumps({**about, "rooms": rooms, "photos": len(photos)}))
        sync(unfinished)
        size = unfinished.stat().st_size
    return BackedUp(rooms, len(photos), size)


def _moment(store: Store, links: ExitStack) -> tuple[Path, dict[str, Path]]:
    """Return a copy of the database and a link to, or a copy of, every photo it speaks of, by name in the backup.

    A photo may be removed between the two; what was linked keeps the bytes from then on.
    """
    for _ in range(_MOST_TURNS):
        with ExitStack() as turn:
            snapshot = store.photos.workspace.new_path()
            turn.callback(_remove_database, snapshot)
            store.database.copy_to(snapshot)
            with closing(sqlite3.connect(snapshot)) as copy:
                rows = copy.execute("SELECT DISTINCT sha, suffix FROM photos ORDER BY sha").fetchall()
            photos: dict[str, Path] = {}
            for sha, suffix in rows:
                link = store.photos.workspace.new_path()
                turn.callback(link.unlink, missing_ok=True)
                try:
                    store.photos.copy(sha, suffix, link)
                except (FileNotFoundError, PhotoError) as error:
                    _refuse_lost(store, sha, error)
                    break
                photos[f"photos/{sha[:2]}/{sha}{suffix}"] = link
            else:
                links.enter_context(turn.pop_all())
                return snapshot, photos
    raise RequestError(
        Problem("backup", "photos were removed all the while it was taken", "Take it again when less is going on.")
    )


def _refuse_lost(store: Store, sha: str, error: Exception) -> None:
    """Raise RequestError for a photo that cannot be had although a room has it."""
    has = select(RoomRow.name, PhotoRow.name).join(RoomRow, RoomRow.id == PhotoRow.room_id).where(PhotoRow.sha == sha)
    with store.database.reading() as session:
        found = session.execute(has.limit(1)).first()
    if found is not None:
        room, name = found
        raise RequestError(
            Problem(
                f"{room}: {name}",
                "is gone from where photos are kept, or not what was sent, so that no whole backup can be made",
                "Bring it back from an earlier backup, or remove it from the room.",
            )
        ) from error


def _remove_database(path: Path) -> None:
    for name in (path.name, f"{path.name}-wal", f"{path.name}-shm"):
        path.with_name(name).unlink(missing_ok=True)


@contextmanager
def _writing(target: Path) -> Iterator[Path]:
    """Give a path on the same disk to write to, and move it to ``target`` when that is done."""
    beside = Workspace(target.parent, ".givens-backup-")
    try:
        if target.exists():
            raise RequestError(Problem(str(target), "is there already; nothing is overwritten", "Name another file."))
        beside.clear_abandoned()
        unfinished = beside.new_path()
        yield unfinished
        move_into_place(unfinished, target)
    except OSError as error:
        reason = error.strerror or str(error)
        raise RequestError(
            Problem(str(target), f"the backup cannot be written ({reason})", "Name another file, on a disk with room.")
        ) from error
    finally:
        beside.close()


def restore_backup(source: Path, folder: Path) -> BackedUp:
    """Make ``folder``, which must be empty or not there, the store that ``source`` is a backup of; whole or not at all.

    Every photo is compared with its hash and the database with itself. Raises RequestError.
    """
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise RequestError(
            Problem(
                str(folder),
                "is not empty, and nothing in it is overwritten",
                "Name an empty folder in givens.toml, or as GIVENS_FOLDER, and restore into that.",
            )
        )
    beside = Workspace(folder.parent, f".{folder.name}-")
    try:
        make_folder(folder.parent)
        beside.clear_abandoned()
        unpacked = beside.new_path()
        make_folder(unpacked)
        with zipfile.ZipFile(source) as zipped:
            photos = _unpack(zipped, source, unpacked)
        rooms = _checked_database(unpacked / DATABASE, source, photos)
        if folder.exists():
            folder.rmdir()
        move_into_place(unpacked, folder)
        return BackedUp(rooms, len(photos), source.stat().st_size)
    except (zipfile.BadZipFile, NotImplementedError, EOFError, sqlite3.DatabaseError) as error:
        raise _no_backup(source, f"is no whole backup ({error})") from error
    except FileNotFoundError as error:
        raise RequestError(Problem(str(source), "there is no such file", "Check the spelling.")) from error
    except OSError as error:
        reason = error.strerror or str(error)
        raise RequestError(Problem(str(source), f"cannot be restored ({reason})", "Look at the disk.")) from error
    finally:
        beside.close()


def _unpack(zipped: zipfile.ZipFile, source: Path, folder: Path) -> set[str]:
    """Write the members into ``folder`` and return the names of the photos among them."""
    members = {member.filename: member for member in zipped.infolist()}
    about = members.get(ABOUT)
    if about is None or about.file_size > _MOST_ABOUT_BYTES or _format(zipped.read(about)) != FORMAT:
        raise _no_backup(source, "is no backup that this version knows")
    room = shutil.disk_usage(folder).free
    if sum(member.file_size for member in members.values()) > room:
        raise _no_backup(source, f"holds more than the {room / 1e9:.1f} GB that are free", "Make room on the disk.")
    photos = {name for name in members if _PHOTO.fullmatch(name)}
    if DATABASE not in members or set(members) - photos - {DATABASE, ABOUT}:
        raise _no_backup(source, "holds what no backup holds, or no database")
    for name in (DATABASE, *sorted(photos)):
        path = folder / name
        make_folder(path.parent)
        found = hashlib.sha256()
        with zipped.open(members[name]) as packed, new_file(path) as stream:
            while piece := packed.read(_CHUNK):
                found.update(piece)
                stream.write(piece)
        sync(path)
        if name != DATABASE and found.hexdigest() != path.stem:
            raise _no_backup(source, f"is damaged: {name} is not what it was")
    return photos


def _format(about: bytes) -> object:
    try:
        stated = json.loads(about)
    except ValueError:
        return None
    return stated.get("format") if isinstance(stated, dict) else None


def _checked_database(path: Path, source: Path, photos: set[str]) -> int:
    """Return how many rooms there are; raises RequestError for a database that is damaged, newer, or lacks photos."""
    with closing(sqlite3.connect(path)) as database:
        if database.execute("PRAGMA integrity_check").fetchall() != [("ok",)]:
            raise _no_backup(source, "is damaged: the database in it does not hold together")
        if database.execute("SELECT max(version) FROM schema_version").fetchone()[0] > SCHEMA_VERSION:
            raise _no_backup(source, "was made by a newer Givens", "Install that version.")
        named = database.execute("SELECT DISTINCT sha, suffix FROM photos").fetchall()
        lacking = {f"photos/{sha[:2]}/{sha}{suffix}" for sha, suffix in named} - photos
        if lacking:
            raise _no_backup(source, f"lacks {len(lacking)} of the photos it speaks of")
        return int(database.execute("SELECT count(*) FROM rooms").fetchone()[0])


def _no_backup(source: Path, what: str, remedy: str = "Take an earlier one.") -> RequestError:
    return RequestError(Problem(str(source), what, remedy))
