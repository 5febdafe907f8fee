"""What is still to do on each photo of a room before everything there is marked."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import PurePath
from typing import TYPE_CHECKING, Any, Literal

from matcher.service.marks import marks_of, proposed_cards

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

    from matcher.service.records import StoredPhoto, StoredRoom

Task = Literal["done", "confirm cards", "choose paints", "outline"]


@dataclass(frozen=True, slots=True)
class PhotoTask:
    """``title`` is what the photo is called in short; ``task`` comes first there, for ``count`` cards or chips."""

    sha: str
    name: str
    title: str
    task: Task
    count: int = 0


def photo_tasks(room: StoredRoom, refused: Mapping[str, Collection[str]] | None = None) -> tuple[PhotoTask, ...]:
    """Return the photos in their order with what to do first on each.

    ``refused`` are the sets of proposed cards, by the photo's sha, that a person said are none.
    """
    entries: dict[str, Mapping[str, Any]] = {entry["file"]: entry for entry in room.document.get("photos", ())}
    return tuple(_task(photo, entries.get(photo.name, {}), (refused or {}).get(photo.sha, ())) for photo in room.photos)


def _task(photo: StoredPhoto, entry: Mapping[str, Any], refused: Collection[str]) -> PhotoTask:
    marks = marks_of(entry)
    found = [card for card in proposed_cards(photo.verdict, marks) if card["set"] not in refused]
    chips = [mark for mark in marks if mark.get("reference") == "paint chip" and not mark.get("paint")]
    task: Task = "done"
    if found:
        task = "confirm cards"
    elif chips:
        task = "choose paints"
    elif not any(mark["kind"] in ("surface", "area") for mark in marks):
        task = "outline"
    return PhotoTask(photo.sha, photo.name, _title(photo.name), task, len(found or chips))


def _title(name: str) -> str:
    """Return a file's name without its ending, as words.

    >>> _title("tile_day.jpg")
    'Tile day'
    """
    words = " ".join(PurePath(name).stem.replace("_", " ").split())
    return words[:1].upper() + words[1:] or name
