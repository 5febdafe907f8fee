"""Files that hold clients' homes: readable by the app's own user only, and there whole or not at all."""

from __future__ import annotations

import os
import secrets
from pathlib import Path

PRIVATE_FOLDER, PRIVATE_FILE = 0o700, 0o600


def make_folder(folder: Path) -> None:
    """Create ``folder`` and what leads to it, closed to other users; one that is there already keeps its mode."""
    if not folder.is_dir():
        make_folder(folder.parent)
        folder.mkdir(mode=PRIVATE_FOLDER, exist_ok=True)


def write_new(path: Path, data: bytes) -> None:
    """Write a file that is not there yet, down to the disk."""
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, PRIVATE_FILE)
    with open(handle, "wb") as stream:
        stream.write(data)
        stream.flush()
        os.fsync(stream.fileno())


def move_into_place(source: Path, target: Path) -> None:
    """Rename within one disk, atomically, and make the new name last (POSIX: the folder has to be synced too)."""
    make_folder(target.parent)
    os.replace(source, target)
    if hasattr(os, "O_DIRECTORY"):
        handle = os.open(target.parent, os.O_RDONLY | os.O_DIRECTORY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def write_atomically(path: Path, data: bytes) -> None:
    """Write or replace a file: a reader sees the old bytes or the new ones, never a part."""
    make_folder(path.parent)
    temporary = path.with_name(f".{secrets.token_hex(8)}.part")
    try:
        write_new(temporary, data)
        move_into_place(temporary, path)
    finally:
        temporary.unlink(missing_ok=True)
