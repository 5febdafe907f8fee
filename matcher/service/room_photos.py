"""Photos sent to a room: looked at before anything is kept, given out as they came or made fit to show."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import replace
from pathlib import Path
from threading import BoundedSemaphore
from typing import TYPE_CHECKING, Any

from matcher.errors import GivensError, PhotoError, Problem, RequestError, StoreError
from matcher.service.incoming import Incoming, incoming

if TYPE_CHECKING:
    from matcher.service.desk import Desk
    from matcher.store.photo_rows import Arrival
    from matcher.store.stored import Sender, StoredPhoto, User

Json = dict[str, Any]
# Decoding, in workers of which there are two, and looking a photo over fill a core: twenty senders at once wait their
# turn.
_MOST_AT_ONCE = 2
_AT_ONCE = BoundedSemaphore(min(os.cpu_count() or 1, _MOST_AT_ONCE))
# Assumption: from a thumbnail to more than any screen shows; it also bounds what can be made to fill the disk.
_SHOWN_SIDES = (64, 4096)


def add_photo(desk: Desk, room_id: str, data: bytes, name: str, *, by: Sender) -> StoredPhoto:
    """Keep a photo as :func:`take_photo` does, from its bytes."""
    with incoming(desk, name) as arrived:
        arrived.write(data)
        return take_photo(desk, room_id, arrived, by=by)


def take_photo(desk: Desk, room_id: str, arrived: Incoming, *, by: Sender) -> StoredPhoto:
    """Keep a photo that has arrived, its bytes untouched, and name it in the room's draft.

    The caller has checked who sends it. The same bytes twice are one photo. Raises PhotoError for what is no photo to
    measure from, RequestError when the room is full, NotFoundError.
    """
    from matcher.store import photos

    present = photos.photos_in(desk.store, room_id)
    for known in present:
        if known.sha == arrived.sha and not photos.is_news(known, by):
            return known
    if arrived.sha not in {known.sha for known in present}:
        # Asked again when it is added; asked here so that nobody waits for a photo to be looked at in vain.
        photos.refuse_more(len(present), desk.settings.photos_per_room)
    arrival = judged(arrived, by=by)
    return photos.add_photo(desk.store, room_id, arrival, most=desk.settings.photos_per_room)


def remove_photo(desk: Desk, user: User, room_id: str, sha: str) -> None:
    """Take a photo, with its marks, out of the room; raises NotFoundError."""
    from matcher.store import photos

    photos.remove_photo(desk.store, user.id, room_id, sha)


def with_whole_room(document: Json, name: str | None) -> Json:
    """Return a copy of a draft whose photo of the whole room is ``name``, and no other; None for none."""
    photos = [
        {**{key: value for key, value in entry.items() if key != "whole_room"},
         **({"whole_room": True} if entry["file"] == name else {})}
        for entry in document.get("photos", ())
    ]  # fmt: skip
    return {**document, "photos": photos}


def count_marks(document: Json, name: str) -> int:
    """Return how many outlines a photo has: cards, surfaces and areas to paint."""
    entries = [entry for entry in document.get("photos", ()) if entry["file"] == name]
    marks = ("references", "surfaces", "areas")
    return sum(len(mark.get("outlines", ())) or 1 for entry in entries for key in marks for mark in entry.get(key, ()))


def photo_path(desk: Desk, room_id: str, sha: str) -> Path:
    """Return where the original lies, to read only, while ``desk.store.photos`` has it brought there; raises
    NotFoundError when it is no photo of this room.
    """
    from matcher.store import photos

    return photos.original_path(desk.store, room_id, sha)


@contextmanager
def brought(desk: Desk, path: Path, name: str) -> Iterator[None]:
    """Have an original lie at its path for as long as it is read; what is wrong with it is said under its name."""
    with ExitStack() as stack:
        try:
            stack.enter_context(desk.store.photos.brought(path))
        except PhotoError as error:
            raise PhotoError(*(replace(problem, where=name) for problem in error.problems)) from error
        yield


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
    with desk.store.photos.brought(path), _AT_ONCE, _called("photo"):
        made = make(path, longest_side=longest_side)
    with suppress(StoreError):
        # Only to save making it again: where the disk takes no more, it is shown all the same.
        keep_picture(desk.store, sha, longest_side, made)
    return made


def judged(arrived: Incoming, *, by: Sender) -> Arrival:
    """Return a photo decoded and checked, ready to be kept; raises PhotoError under the sender's name."""
    from matcher.photo.reading import kind_of
    from matcher.room.photo_name import SUFFIX_OF_KIND, plain_name, safe_name
    from matcher.service.photo import check_photo
    from matcher.store.photo_rows import Arrival

    with _AT_ONCE, _called(plain_name(arrived.name) or "photo"):
        suffix = SUFFIX_OF_KIND[kind_of(arrived.path)]
        verdict = check_photo(arrived.path)
    width, height = verdict["size"]
    return Arrival(
        path=arrived.path,
        sha=arrived.sha,
        suffix=suffix,
        name=safe_name(arrived.name, suffix),
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
