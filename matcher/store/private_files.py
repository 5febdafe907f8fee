"""Files that hold clients' homes: readable by the app's own user only, and there whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path
from typing import BinaryIO

PRIVATE_FOLDER, PRIVATE_FILE = 0o700, 0o600


def make_folder(folder: Path) -> None:
    """Create ``folder`` and what leads to it, closed to other users; one that is there already keeps its mode."""
    if not folder.is_dir():
        make_folder(folder.parent)
        folder.mkdir(mode=PRIVATE_FOLDER, exist_ok=True)


def new_file(path: Path) -> BinaryIO:
    """Open a file that is not there yet, to write to; raises OSError."""
    return open(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, PRIVATE_FILE), "wb")


def sync(path: Path) -> None:
    """Bring what was written to a file, or which names a folder holds, down to the disk; raises OSError."""
    handle = os.open(path, os.O_RDONLY if path.is_dir() else os.O_RDWR)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def move_into_place(source: Path, target: Path) -> None:
    """Rename within one disk, atomically, and make the new name last (POSIX: the folder has to be synced too)."""
    make_folder(target.parent)
    os.replace(source, target)
    if hasattr(os, "O_DIRECTORY"):
        sync(target.parent)
