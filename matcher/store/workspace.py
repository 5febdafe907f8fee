"""A folder of this process's own for files on their way: what a killed process left in its own is known and cleared.

Each process locks its folder. The lock goes with the process, however that ends, so a folder whose lock is free
belongs to nobody. Where a disk knows no locks on folders (some network disks, Windows) only age tells.
"""

from __future__ import annotations

import os
import secrets
import shutil
import tempfile
import time
from contextlib import suppress
from pathlib import Path
from threading import Lock
from typing import BinaryIO, Literal

from matcher.store.private_files import make_folder

try:
    import fcntl
except ImportError:  # Windows
    fcntl = None  # type: ignore[assignment]  # a module where there is one

_Lock = Literal["held", "free", "unknown"]
# Assumption: nothing takes as long to be taken in, so what is older was left by a crash wherever locks tell nothing.
_ABANDONED_S = 24 * 3600
_NAME_BYTES = 8


class Workspace:
    """``parent/<prefix><random>``, made when first asked for and removed by :meth:`close`."""

    def __init__(self, parent: Path, prefix: str = "") -> None:
        self._parent = parent
        self._prefix = prefix
        self._folder: Path | None = None
        self._handle: int | None = None
        self._making = Lock()

    def new_path(self) -> Path:
        """Return a path where no file is yet; raises OSError."""
        return self._made() / secrets.token_hex(16)

    def named(self, name: str) -> Path:
        """Return the one path of a name that no other file here has; raises OSError."""
        return self._made() / name

    def nameless(self) -> BinaryIO:
        """Return a new file to write and read that goes away when it is closed, however that comes; raises OSError."""
        return tempfile.TemporaryFile(dir=self._made())

    def _made(self) -> Path:
        with self._making:
            if self._folder is None or not self._folder.is_dir():
                self._make()
            assert self._folder is not None
            return self._folder

    def close(self) -> None:
        """Remove the folder with whatever is left in it."""
        with self._making:
            if self._folder is not None:
                shutil.rmtree(self._folder, ignore_errors=True)
            _let_go(self._handle)
            self._folder = self._handle = None

    def clear_abandoned(self) -> None:
        """Remove the folders, and stray files, of processes that are gone."""
        for path in self._parent.iterdir():
            # Nothing else that merely begins like the prefix is touched.
            if path.name.startswith(self._prefix) and len(path.name) == len(self._prefix) + 2 * _NAME_BYTES:
                if path.is_dir() and path != self._folder:
                    _clear(path)
            elif not self._prefix and path.is_file() and _is_old(path):
                path.unlink(missing_ok=True)

    def _make(self) -> None:
        while True:
            folder = self._parent / f"{self._prefix}{secrets.token_hex(_NAME_BYTES)}"
            make_folder(folder)
            # Until it is locked somebody may take it for one that was left, and remove it: then another is made.
            handle, lock = _lock(folder)
            if lock != "held" and folder.is_dir():
                self._folder, self._handle = folder, handle
                return
            _let_go(handle)


def _clear(folder: Path) -> None:
    """Remove a folder that no process holds."""
    handle, lock = _lock(folder)
    if lock == "free" or (lock == "unknown" and _is_old(folder)):
        shutil.rmtree(folder, ignore_errors=True)
    _let_go(handle)


def _lock(folder: Path) -> tuple[int | None, _Lock]:
    """Lock a folder for as long as the handle is open; say whether it was free, or another process holds it."""
    if fcntl is None:
        return None, "unknown"
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:
        return None, "held"  # removed at this moment by whoever holds it
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        return handle, "held" if isinstance(error, BlockingIOError) else "unknown"
    return handle, "free"


def _let_go(handle: int | None) -> None:
    if handle is not None:
        os.close(handle)


def _is_old(path: Path) -> bool:
    # Others' files come and go at this moment.
    with suppress(FileNotFoundError):
        return time.time() - path.stat().st_mtime > _ABANDONED_S
    return False
