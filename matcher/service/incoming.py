"""A file as it arrives, piece by piece, into a place of its own on the disk: none is held in memory."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, BinaryIO

from matcher.errors import PhotoError, Problem, RequestError

if TYPE_CHECKING:
    from pathlib import Path

    from matcher.service.desk import Desk

_MEGABYTE = 1_000_000


class Incoming:
    """``name`` is what the sender calls it; ``sha`` the SHA-256 of what came so far."""

    def __init__(self, path: Path, stream: BinaryIO, name: str, limit_mb: int) -> None:
        self.path = path
        self.name = name
        self._stream = stream
        self._limit_mb = limit_mb
        self._size = 0
        self._hash = hashlib.sha256()

    def write(self, piece: bytes) -> None:
        """Take the next piece; raises PhotoError above the limit, RequestError where the disk takes no more."""
        self._size += len(piece)
        if self._size > self._limit_mb * _MEGABYTE:
            raise too_large(self.name, self._size, self._limit_mb)
        self._hash.update(piece)
        try:
            self._stream.write(piece)
            self._stream.flush()
        except OSError as error:
            reason = error.strerror or str(error)
            raise RequestError(Problem("store", f"the file cannot be kept ({reason})", "Is the disk full?")) from error

    @property
    def sha(self) -> str:
        """The SHA-256 in hex."""
        return self._hash.hexdigest()


@contextmanager
def incoming(desk: Desk, name: str) -> Iterator[Incoming]:
    """Give a place for a file that arrives; it goes away unless it was kept."""
    with desk.store.photos.incoming() as (path, stream):
        yield Incoming(path, stream, name, desk.settings.upload_limit_mb)


def too_large(name: str, size: int, limit_mb: int) -> PhotoError:
    """Return the error for a file of ``size`` bytes, or of that many so far."""
    from matcher.room.photo_name import plain_name

    what = f"is {size / _MEGABYTE:.1f} MB, more than the {limit_mb} MB that are taken"
    return PhotoError(Problem(plain_name(name) or "photo", what, "Send it as a JPEG, as the phone wrote it."))
