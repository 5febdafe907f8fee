"""One room as a zip: out of the store with everything the command line needs, and back in, all or nothing."""

from __future__ import annotations

from contextlib import ExitStack
from dataclasses import replace
from typing import TYPE_CHECKING, Any, BinaryIO

from matcher.service.desk import FIRST_STAGE

if TYPE_CHECKING:
    from pathlib import Path

    from matcher.service.desk import Desk
    from matcher.store.photo_rows import Arrival
    from matcher.store.stored import User

Json = dict[str, Any]
_MEGABYTE = 1_000_000


def write_room(desk: Desk, user: User, room_id: str, stream: BinaryIO, *, result: Json | None = None) -> None:
    """Write the room's zip: room.toml, photos as they were sent, brief.json, remark.txt, result.json if given. Paint
    chips go with their colours, to be measured the same whichever edition of the deck is there.

    The photos keep whatever the phone wrote into them, place and time included. Raises NotFoundError.
    """
    from matcher.report.output import to_json
    from matcher.room.archive import BRIEF, REMARK, RESULT, pack_into
    from matcher.service.chip_editions import with_every_chip
    from matcher.service.desk import photo_path
    from matcher.service.room_photos import brought
    from matcher.store import rooms

    room = rooms.load_room(desk.store, user.id, room_id)
    texts = {BRIEF: to_json(room.brief)}
    if room.remark:
        texts[REMARK] = room.remark
    if result is not None:
        texts[RESULT] = to_json(result)
    paths = {photo.name: photo_path(desk, room_id, photo.sha) for photo in room.photos}
    names = {path: name for name, path in paths.items()}
    pack_into(stream, with_every_chip(desk, room), paths, texts, lambda path: brought(desk, path, names[path]))


def most_room_mb(desk: Desk) -> int:
    """Return how many MB a room's zip may have: as many photos as a room takes, each as large as it may be."""
    return desk.settings.photos_per_room * desk.settings.upload_limit_mb


def import_room(desk: Desk, user: User, source: bytes | Path) -> str:
    """Add the room in a zip and return its id; a result in it is left aside, as it can be worked out again.

    Raises RoomFileError for anything that is not a room's zip, PhotoError for a photo in it that is none, RequestError
    for a brief that is none; then nothing was added.
    """
    from matcher.room.archive import BRIEF, PHOTOS, REMARK, Limits, open_archive
    from matcher.room.brief import checked_brief
    from matcher.room.photo_name import free_name
    from matcher.service import typed_text
    from matcher.service.incoming import incoming
    from matcher.service.room_photos import judged
    from matcher.store import rooms

    settings = desk.settings
    limits = Limits(settings.photos_per_room, settings.upload_limit_mb * _MEGABYTE)
    with open_archive(source, "zip", limits) as archive, ExitStack() as stack:
        document = archive.document()
        brief = checked_brief(archive.json(BRIEF) or {})
        remark = typed_text.remark(archive.text(REMARK), "remark.txt")
        arrivals: dict[str, Arrival] = {}
        named: dict[str, str] = {}
        for name in archive.photos:
            arrived = stack.enter_context(incoming(desk, name))
            arrived.write(archive.photo(name))
            arrival = judged(arrived, by="consultant")
            if arrival.sha not in arrivals:
                taken = [other.name for other in arrivals.values()]
                arrivals[arrival.sha] = replace(arrival, name=free_name(arrival.name, taken))
            named[PHOTOS + name] = arrivals[arrival.sha].name
        entries = [{**photo, "file": named[photo["file"]]} for photo in document.get("photos", [])]
        unnamed = sorted(set(named.values()) - {entry["file"] for entry in entries})
        document["photos"] = [*entries, *({"file": name} for name in unnamed)]
        return rooms.create_room(
            desk.store,
            user.id,
            name=document["room"]["name"],
            document=document,
            stage=FIRST_STAGE,
            brief=brief,
            remark=remark,
            photos=arrivals.values(),
        )


def import_folder(desk: Desk, user: User, room_file: Path) -> str:
    """Add the room of a room file with the photos it names and return its id.

    Raises what :func:`import_room` does.
    """
    from matcher.room.archive import pack
    from matcher.room.reading import read_document

    document = read_document(room_file)
    paths = {entry["file"]: room_file.parent / entry["file"] for entry in document.get("photos", [])}
    return import_room(desk, user, pack(document, paths, {}))
