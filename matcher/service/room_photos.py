"""Photos sent to a room: looked at before anything is kept, given out as they came or made fit to show."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from threading import BoundedSemaphore
from typing import TYPE_CHECKING

from matcher.errors import GivensError, PhotoError, Problem, RequestError

if TYPE_CHECKING:
    from matcher.service.desk import Desk
    from matcher.store.model import Sender, StoredPhoto, User
    from matcher.store.photo_rows import Arrival

# Decoding, in workers of which there are two, and looking a photo over fill a core: twenty senders at once wait their
# turn.
_MOST_AT_ONCE = 2
_AT_ONCE = BoundedSemaphore(min(os.cpu_count() or 1, _MOST_AT_ONCE))
# Assumption: from a thumbnail to more than any screen shows; it also bounds what can be made to fill the disk.
_SHOWN_SIDES = (64, 4096)
_MEGABYTE = 1_000_000


def add_photo(desk: Desk, room_id: str, data: bytes, name: str, *, by: Sender) -> StoredPhoto:
    """Keep a photo, its bytes untouched, and name it in the room's draft; the caller has checked who sends it.

    The same bytes twice are one photo. Raises PhotoError for what is no photo to measure from or is too large a file,
    RequestError when the room is full, NotFoundError.
    """
    from matcher.store import photos

    refuse_large(desk, data, name)
    present = photos.photos_in(desk.store, room_id)
    sha = hashlib.sha256(data).hexdigest()
    for known in present:
        if known.sha == sha and not photos.is_news(known, by):
            return known
    if sha not in {known.sha for known in present}:
        # Asked again when it is added; asked here so that nobody waits for a photo to be looked at in vain.
        photos.refuse_more(len(present), desk.settings.photos_per_room)
    with arriving(desk, data, name, by=by) as arrival:
        return photos.add_photo(desk.store, room_id, arrival, most=desk.settings.photos_per_room)


def remove_photo(desk: Desk, user: User, room_id: str, sha: str) -> None:
    """Take a photo, with its marks, out of the room; raises NotFoundError."""
    from matcher.store import photos

    photos.remove_photo(desk.store, user.id, room_id, sha)


def photo_path(desk: Desk, room_id: str, sha: str) -> Path:
    """Return where the original lies, to read only; raises NotFoundError when it is no photo of this room."""
    from matcher.store import photos

    return photos.original_path(desk.store, room_id, sha)


def display_jpeg(desk: Desk, room_id: str, sha: str, *, longest_side: int = 1600) -> bytes:
    """Return the photo upright, in sRGB, with no tag left in it; made once and kept. Raises NotFoundError."""
    from matcher.photo.display import display_jpeg as make
    from matcher.store.photo_rows import keep_picture

    low, high = _SHOWN_SIDES
    if not low <= longest_side <= high:
        raise RequestError(Problem("longest_side", f"{longest_side} is not between {low} and {high}"))
    path = photo_path(desk, room_id, sha)
    kept = desk.store.photos.shown(sha, longest_side)
    if kept is not None:
        return kept
    with _AT_ONCE, _called("photo"):
        made = make(path, longest_side=longest_side)
    keep_picture(desk.store, sha, longest_side, made)
    return made


def refuse_large(desk: Desk, data: bytes, name: str) -> None:
    """Raise PhotoError for a file above the limit."""
    from matcher.room.photo_name import plain_name

    limit = desk.settings.upload_limit_mb
    if len(data) > limit * _MEGABYTE:
        what = f"is {len(data) / _MEGABYTE:.1f} MB, more than the {limit} MB that are taken"
        raise PhotoError(Problem(plain_name(name) or "photo", what, "Send it as a JPEG, as the phone wrote it."))


@contextmanager
def arriving(desk: Desk, data: bytes, name: str, *, by: Sender) -> Iterator[Arrival]:
    """Give a photo that was decoded and checked, in a temporary file; raises PhotoError under the sender's name."""
    from matcher.photo.reading import kind_of
    from matcher.room.photo_name import SUFFIX_OF_KIND, plain_name, safe_name
    from matcher.service.photo import check_photo
    from matcher.store.photo_rows import Arrival

    with desk.store.photos.incoming(data) as path:
        with _AT_ONCE, _called(plain_name(name) or "photo"):
            suffix = SUFFIX_OF_KIND[kind_of(path)]
            verdict = check_photo(path)
        width, height = verdict["size"]
        yield Arrival(
            path=path,
            sha=hashlib.sha256(data).hexdigest(),
            suffix=suffix,
            name=safe_name(name, suffix),
            width=width,
            height=height,
            verdict={key: value for key, value in verdict.items() if key != "file"},
            by=by,
        )


@contextmanager
def _called(name: str) -> Iterator[None]:
    """Raise errors about a file of the store under the name its sender knows."""
    try:
        yield
    except GivensError as error:
        raise type(error)(*(replace(problem, where=name) for problem in error.problems)) from error
