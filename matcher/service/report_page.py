"""The report as one HTML file: what the client is told, and the appendix for the consultant.

Heavy modules are imported where they are used, so that a command pays only for what it needs.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from matcher.handover.contents import Contents, RoomPictures
    from matcher.paints.deck import Deck
    from matcher.report.picture import Picture
    from matcher.room.contents import RoomFile
    from matcher.surfaces.measure import RoomMeasurement

Json = dict[str, Any]


def client_page(contents: Contents) -> str:
    """Return the page without the appendix."""
    from matcher.handover.page import render_page

    return render_page(contents)


def whole_page(
    contents: Contents,
    *,
    room: RoomFile,
    measurement: RoomMeasurement,
    deck: Deck,
    advice: Json,
    pictures: Sequence[Picture],
) -> str:
    """Return the page with the appendix, whose photos are the ``pictures``."""
    from matcher.handover.page import render_page
    from matcher.handover.rejected import rejected
    from matcher.handover.workshop import workshop
    from matcher.service.asking import question_of
    from matcher.service.room_light import scheme_light

    day = None if contents.light is None else dict(contents.light)
    light = scheme_light(room, measurement.surfaces, deck, contents.result["scheme"], day=day)
    turned_down = rejected(question_of(room, measurement, deck), deck)
    shown = workshop(contents, advice, pictures, deck=deck, light=light, rejected=turned_down)
    return render_page(contents, shown)


def as_it_is(measurement: RoomMeasurement, pictures: Sequence[Picture]) -> RoomPictures:
    """Return the room's own picture among those of the report, as it is: nothing is painted or drawn for it."""
    from base64 import b64decode

    from matcher.handover.contents import RoomPictures
    from matcher.service.handover import picture_file
    from matcher.service.repainting import photo_to_repaint

    entries = [photo.photo_entry for photo in measurement.photos]
    number = photo_to_repaint([(entry.whole_room, bool(entry.areas)) for entry in entries])
    if number is None or not (entries[number].whole_room or entries[number].areas):
        return RoomPictures()
    return RoomPictures(as_it_is=picture_file(b64decode(pictures[number].data_uri.partition(",")[2])))
