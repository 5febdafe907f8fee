"""What a client gets to see of a room: chosen by the consultant, and kept as it was when it was shared."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import TYPE_CHECKING, Any

from matcher.report.trade_words import listed as listed
from matcher.service import client, desk
from matcher.service.handed_files import CLIENT_FILE, handed_files
from matcher.service.painted_room import paint_room, room_as_it_is

if TYPE_CHECKING:
    from matcher.service.desk import Desk
    from matcher.service.live import LiveRanking
    from matcher.service.painted_room import PaintedRoom
    from matcher.service.records import StoredRoom, User

Json = dict[str, Any]

# More than a few other ways are no help to choose (assumption).
MOST_ALTERNATIVES = 3
# Pictures of a share: the room as it is, in the scheme, and in each alternative by its place.
BEFORE, AFTER, OTHER = "before", "after", "other-{place}"
# The client's document, kept beside the pictures.
DOCUMENT = CLIENT_FILE
_OF_PAINT = ("id", "role", "name", "code", "hex", "lrv", "reasons", "clashes")


def to_share(ranked: LiveRanking, remark: str, *, alternatives: Collection[str] = (), document: bool = False) -> Json:
    """Return what a client gets to see of a scheme: paints with reasons, what stays, the remark, those of the other
    ways to go whose titles are in ``alternatives``, and that there is a ``document`` to keep. No file, no photo's
    verdict and no other paint is in it.
    """
    others = [other for other in ranked.scheme["alternatives"] if other["title"] in alternatives]
    return {
        "paints": [{key: paint[key] for key in _OF_PAINT} for paint in ranked.scheme["paints"]],
        "surfaces": [{"name": surface["name"], "colours": surface["colours"]} for surface in ranked.staying],
        "remark": remark,
        "alternatives": [
            {"title": other["title"], "trade": other["trade"], "paints": other["paints"]}
            for other in others[:MOST_ALTERNATIVES]
        ],
        **({"document": True} if document else {}),
    }


def is_as_shared(content: Json, shared: Json) -> bool:
    """Tell whether what would be shared now says what was shared: the same paints, words and ways to go, with the
    document or without.
    """
    same = ("paints", "remark", "alternatives", "painted", "document")
    return all(content.get(key) == shared.get(key) for key in same)


def codes_of(paints: Sequence[Json]) -> dict[str, str]:
    """Return the codes of paints by their role."""
    return {paint["id"]: paint["code"] for paint in paints}


def picture_of(desk: Desk, room: StoredRoom, paints: Sequence[Json]) -> PaintedRoom:
    """Return the room in these paints, as far as it can be shown."""
    return paint_room(desk, room, codes_of(paints))


def looks_otherwise(other: Sequence[Json], paints: Sequence[Json], picture: PaintedRoom) -> bool:
    """Tell whether another way to go would give another ``picture`` than these paints do."""
    codes, others = codes_of(paints), codes_of(other)
    return any(others.get(role) != codes.get(role) for role in picture.painted)


def about_picture(content: Json, picture: PaintedRoom) -> Json:
    """Return ``content`` with which of its roles the picture shows painted, and which as they are now."""
    titles = {paint["id"]: paint["role"] for paint in content["paints"]}
    return {
        **content,
        "painted": [titles[role] for role in picture.painted],
        "unpainted": [titles[role] for role in (*picture.unmeasured, *picture.not_outlined)],
    }


def share_scheme(
    the_desk: Desk,
    user: User,
    room: StoredRoom,
    ranked: LiveRanking,
    *,
    remark: str,
    pictures: bool,
    alternatives: Collection[str] = (),
    document: bool = False,
) -> int:
    """Show the client the scheme as it is now, and return the id of what was shared.

    With ``pictures`` the room is painted now, with ``document`` the client's document is made now, and both are kept
    with what is shared: whatever is changed later, the client sees this until something else is shared. Raises
    :class:`matcher.errors.GivensError`.
    """
    desk.save_remark(the_desk, user, room.id, remark)
    content = to_share(ranked, remark, alternatives=alternatives, document=document)
    kept: dict[str, bytes] = {}
    shown = picture_of(the_desk, room, content["paints"]) if pictures else None
    before = room_as_it_is(the_desk, room)
    if shown is not None and shown.picture is not None and before is not None:
        content = about_picture(content, shown)
        kept = {BEFORE: before, AFTER: shown.picture}
        for place, other in enumerate(content["alternatives"]):
            painted = picture_of(the_desk, room, other["paints"]).picture
            if painted is not None and looks_otherwise(other["paints"], content["paints"], shown):
                kept[OTHER.format(place=place)] = painted
    if document:
        kept[DOCUMENT] = handed_files(the_desk, room)[CLIENT_FILE]
    return client.share(the_desk, user, room.id, content, kept)
