"""A file on its way into the store, in a place of its own on this machine's disk."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from matcher.errors import Problem, StoreError
from matcher.store.private_files import new_file
from matcher.store.workspace import Workspace


@contextmanager
def arriving_file(workspace: Workspace) -> Iterator[tuple[Path, BinaryIO]]:
    """Give a temporary file to write to, and its path; it goes away unless it was moved."""
    with disk_worded():
        path = workspace.new_path()
    try:
        with disk_worded():
            stream = new_file(path)
        with stream:
            yield path, stream
    finally:
        path.unlink(missing_ok=True)


@contextmanager
def disk_worded() -> Iterator[None]:
    """Raise StoreError for what the disk refuses."""
    try:
        yield
    except OSError as error:
        reason = error.strerror or str(error)
        raise StoreError(Problem("store", f"the photo cannot be kept ({reason})", "Is the disk full?")) from error
