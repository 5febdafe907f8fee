"""The file of an SQLite database: made private before SQLite opens it, and from then on only looked at from outside.

Closing any descriptor of that file drops every lock this process holds on it, SQLite's too (sqlite.org, "How To Corrupt
An SQLite Database File", section 2.2); the next program that closes the database then takes the write-ahead log away
under us. So nothing here opens a file that SQLite may have open: what is asked is asked of its name.
"""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path

from matcher.store.private_files import PRIVATE_FILE, make_folder

_Identity = tuple[int, int]


def create_private(path: Path) -> None:
    """Create an empty file that other users cannot read, where there is none; one that is there is not opened.

    SQLite gives the files beside it the same mode. Raises OSError.
    """
    make_folder(path.parent)
    with suppress(FileExistsError):
        os.close(os.open(path, os.O_RDWR | os.O_CREAT | os.O_EXCL, PRIVATE_FILE))


class DatabaseFile:
    """The database's file and its log as they were when a connection held both open."""

    def __init__(self, path: Path) -> None:
        path = path.absolute()
        self._paths = (path, path.with_name(f"{path.name}-wal"))
        self._opened = tuple(_identity(one) for one in self._paths)

    def was_replaced(self) -> bool:
        """Tell whether either name now stands for another file, or for none."""
        return tuple(_identity(one) for one in self._paths) != self._opened


def _identity(path: Path) -> _Identity | None:
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_dev, found.st_ino
