"""Files that belong together, put into a folder as one set: at no moment do files of two sets lie there.

A folder that is not there yet is made with everything in it by one rename. In one that is there, which may be a disk of
its own, hold other people's files or stand in a closed folder, files can only be moved one by one: the old set is taken
out, its head first, and the new one moved in, its head last. So a reader, or whoever comes after a run was killed,
finds files of one set only, and the whole set wherever its head is; for the blink between, or after such a death, some
files or all may be missing, and the run has to be repeated.

What is being moved lies in a hidden folder, named after the process; that of a process that died is cleared away by the
next run. Two runs that write into one folder at the same moment are not kept apart.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import tempfile
import time
from collections.abc import Collection, Iterator, Mapping
from contextlib import suppress
from pathlib import Path

_PREFIX = ".givens-"
_HIDDEN = re.compile(rf"{re.escape(_PREFIX)}(\d+)-\w+")
_OLD, _NEW, _NAMES = "old", "new", "names.json"
# Assumption: no run moves its files for as long; the process that has its number now is another one.
_FORGOTTEN_S = 24 * 3600
_MOST_NAMES_BYTES = 1_000_000


def put(folder: Path, files: Mapping[str, bytes], stale: Collection[str] = ()) -> None:
    """Put ``files`` into ``folder``; the first of them is the head of the set.

    Files called ``stale``, of an earlier set, go with the old one. Raises OSError where something cannot be written;
    then the folder is as it was.
    """
    is_there = folder.is_dir()
    beside = folder if is_there else folder.parent
    beside.mkdir(parents=True, exist_ok=True)
    alone = is_there and len(files) == 1 and not stale
    # One file is moved by itself and has no say in what becomes of a set that was left half moved.
    left = [one for one in _left_by_the_dead(beside) if not (alone and (one / _NAMES).exists())]
    hidden = Path(tempfile.mkdtemp(prefix=f"{_PREFIX}{os.getpid()}-", dir=beside))
    done = False
    try:
        new = hidden / _NEW
        new.mkdir()
        for name, data in files.items():
            _write(new / name, data)
        _sync(new)
        if not is_there:
            os.rename(new, folder)
            _sync(beside)
        elif alone:
            (name,) = files
            os.replace(new / name, folder / name)
            _sync(folder)
        else:
            _exchange(folder, hidden, tuple(files), {*stale, *(name for one in left for name in _names(one))})
        done = True
    finally:
        # Where even putting back failed, the old files are not thrown away with the rest.
        if done or not any((hidden / _OLD).glob("*")):
            _clear(hidden)
    for one in left:
        _clear(one)


def _exchange(folder: Path, hidden: Path, names: tuple[str, ...], others: Collection[str]) -> None:
    """Take ``names`` and ``others`` out of ``folder`` and move the new files in; the first of ``names`` is the head."""
    old, new = hidden / _OLD, hidden / _NEW
    old.mkdir()
    concerned = [*names, *sorted(set(others) - set(names))]
    # Whoever finds this folder after our death has to know which files of ours may lie beside it.
    _write(hidden / _NAMES, json.dumps(concerned).encode("ascii"))
    _sync(hidden)
    out: list[str] = []
    moved: list[str] = []
    done = False
    try:
        for name in concerned:
            if _is_file(folder / name):
                os.rename(folder / name, old / name)
                out.append(name)
        # On the disk, too, the old files are gone before the first new one is there.
        _sync(folder)
        for name in reversed(names):
            if name == names[0]:
                _sync(folder)
            os.rename(new / name, folder / name)
            moved.append(name)
        _sync(folder)
        done = True
    finally:
        if not done:
            for name in reversed(moved):
                os.replace(folder / name, new / name)
            for name in reversed(out):
                os.replace(old / name, folder / name)


def _left_by_the_dead(folder: Path) -> Iterator[Path]:
    """Yield the hidden folders in ``folder`` of processes that are no more; none where it is closed to reading."""
    with suppress(PermissionError), os.scandir(folder) as entries:
        for entry in entries:
            match = _HIDDEN.fullmatch(entry.name)
            if match and entry.is_dir(follow_symlinks=False) and _is_dead(int(match[1]), entry):
                yield Path(entry.path)


def _is_dead(process: int, entry: os.DirEntry[str]) -> bool:
    if time.time() - entry.stat(follow_symlinks=False).st_mtime > _FORGOTTEN_S:
        return True
    if os.name != "posix":  # there a signal 0 is no question
        return False
    try:
        os.kill(process, 0)
    except (ProcessLookupError, OverflowError):
        return True
    except PermissionError:
        return False
    return False


def _clear(hidden: Path) -> None:
    """Take a hidden folder away, first what would call the files beside it half moved."""
    with suppress(OSError):
        (hidden / _NAMES).unlink()
    shutil.rmtree(hidden, ignore_errors=True)


def _names(hidden: Path) -> list[str]:
    """Return which files of a set half moved a dead process may have left beside its hidden folder."""
    if not any((hidden / _NEW).glob("*")):
        return []  # all of the new set was moved in, and its head last
    try:
        with (hidden / _NAMES).open("rb") as file:
            names = json.loads(file.read(_MOST_NAMES_BYTES))
    except (OSError, ValueError, RecursionError):
        return []  # it died before it had moved anything
    plain = isinstance(names, list) and all(isinstance(name, str) for name in names)
    return [name for name in names if name == Path(name).name and "\0" not in name] if plain else []


def _is_file(path: Path) -> bool:
    """Tell whether there is a file, or a link to whatever, by that name; folders stay."""
    return path.is_symlink() or path.is_file()


def _write(path: Path, data: bytes) -> None:
    with path.open("xb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _sync(folder: Path) -> None:
    """Make what was moved last (POSIX: a folder has to be synced too), where the system lets us ask for it."""
    if hasattr(os, "O_DIRECTORY"):
        # Some disks on a network know no such thing, and a folder may be closed to reading.
        with suppress(OSError):
            handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
            try:
                os.fsync(handle)
            finally:
                os.close(handle)
