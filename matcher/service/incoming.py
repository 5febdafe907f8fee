"""A file as it arrives, piece by piece, into a place of its own on the disk: none is held in memory."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from typing import TYPE_CHECKING, BinaryIO

from matcher.errors import PhotoError, Problem, RequestError, StoreError

if TYPE_CHECKING:
    from pathlib import Path

    from matcher.service.desk import Desk

_MEGABYTE = 1_000_000
# Assumption: a full room may be sent anew a few times an hour, by somebody who tries again and again.
_ROOMFULS, _WINDOW = 4, timedelta(hours=1)


class Incoming:
    """``name`` is what the sender calls it; ``sha`` the SHA-256 of what came so far."""

    def __init__(self, path: Path, stream: BinaryIO, name: str, limit_mb: int) -> None:
        self.path = path
        self.name = name
        self._stream = stream
        self._limit_mb = limit_mb
        self._size = 0
        self._hash = hashlib.sha256()

    def expect(self, size: int) -> None:
        """Raise PhotoError for a file that says it will be too large, before any of it has come."""
        if size > self._limit_mb * _MEGABYTE:
            raise too_large(self.name, size, self._limit_mb)

    def write(self, piece: bytes) -> None:
        """Take the next piece; raises PhotoError above the limit, StoreError where the disk takes no more."""
        self._size += len(piece)
        if self._size > self._limit_mb * _MEGABYTE:
            raise too_large(self.name, self._size, self._limit_mb)
        self._hash.update(piece)
        try:
            self._stream.write(piece)
            self._stream.flush()
        except OSError as error:
            reason = error.strerror or str(error)
            raise StoreError(Problem("store", f"the file cannot be kept ({reason})", "Is the disk full?")) from error

    @property
    def sha(self) -> str:
        """The SHA-256 in hex."""
        return self._hash.hexdigest()


@contextmanager
def incoming(desk: Desk, name: str, *, most_mb: int | None = None) -> Iterator[Incoming]:
    """Give a place for a file that arrives, a photo unless ``most_mb`` is given; it goes away unless it was kept."""
    with desk.store.photos.incoming() as (path, stream):
        yield Incoming(path, stream, name, desk.settings.upload_limit_mb if most_mb is None else most_mb)


def count_arrival(desk: Desk, sender: str) -> None:
    """Count one more file against whoever sends it (an id); raises RequestError where it were too many of late."""
    from matcher.store.uploads import count_upload

    most = _ROOMFULS * desk.settings.photos_per_room
    if not count_upload(desk.store, sender, _WINDOW, most):
        what = f"{most} files were sent within {_WINDOW.total_seconds() / 60:.0f} minutes, the most that are looked at"
        raise RequestError(Problem("sending", what, "Wait a while, then send the rest."))


def too_large(name: str, size: int, limit_mb: int) -> PhotoError:
    """Return the error for a file of ``size`` bytes, or of that many so far."""
    from matcher.room.photo_name import plain_name

    what = f"is {size / _MEGABYTE:.1f} MB, more than the {limit_mb} MB that are taken"
    return PhotoError(Problem(plain_name(name) or "photo", what, "Send it as a JPEG, as the phone wrote it."))
