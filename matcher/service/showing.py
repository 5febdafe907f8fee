"""What leaves the consultant's desk: the room repainted, the report, the room as a file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from matcher.recall import Recall
from matcher.report.unbroken import unbroken as unbroken
from matcher.service.live import LiveRanking, deck_of, ranked, survey_of, version_of

if TYPE_CHECKING:
    from typing import BinaryIO

    from matcher.repaint.prepare import Prepared
    from matcher.service.desk import Desk
    from matcher.service.records import StoredRoom, User
    from matcher.service.repainting import Repainted

Json = dict[str, Any]

# Assumptions: a few roles of the rooms that are open at a time, each with planes of one preview; pictures looked at.
_prepared, _painted = Recall(8), Recall(32)


@dataclass(frozen=True, slots=True)
class Repaintable:
    """The photo to repaint, ``sha``, and the ``roles`` whose areas are outlined in it."""

    sha: str
    roles: tuple[str, ...]


def repaintable(room: StoredRoom) -> Repaintable | None:
    """Return the photo that would be repainted, None while it is not known which or no area is outlined in it."""
    from matcher.service.repainting import photo_to_repaint

    shas = {photo.name: photo.sha for photo in room.photos}
    entries = [entry for entry in room.document.get("photos", ()) if entry["file"] in shas]
    number = photo_to_repaint([bool(entry.get("whole_room")) for entry in entries])
    roles = () if number is None else tuple(dict.fromkeys(area["role"] for area in entries[number].get("areas", ())))
    return Repaintable(shas[entries[number]["file"]], roles) if number is not None and roles else None


def paints_for(ranked: LiveRanking, role: str) -> Mapping[str, Json]:
    """Return paints to try in a role by code, with ``label`` and ``hex``: the chosen one first, then its shortlist.

    A role that is not on the list of wishes is offered what the other roles hold.
    """
    own = ranked.result["shortlists"].get(role)
    listed = own if own is not None else [paint for paints in ranked.result["shortlists"].values() for paint in paints]
    chosen = ranked.result["scheme"]["roles"].get(role)
    offered = [chosen, *listed] if chosen else list(listed)
    return {
        paint["code"]: {"label": f"{paint['name']} ({paint['code']})", "name": paint["name"], "hex": paint["hex"]}
        for paint in offered
    }


def report(desk: Desk, room: StoredRoom) -> str:
    """Return the report of the room as it stands: one HTML file.

    Raises :class:`matcher.errors.RequestError` while nothing is measured.
    """
    from matcher.errors import Problem, RequestError
    from matcher.report.page import render_page
    from matcher.service.room_file import pictures_of

    answer = ranked(desk, room)
    if answer is None:
        raise RequestError(Problem("report", "nothing is measured yet", "Mark a grey card and a surface first."))
    pictures = pictures_of(survey_of(desk, room).measurement)
    return render_page(answer.result, answer.advise(), pictures, deck=deck_of(desk))


def repainted(desk: Desk, room: StoredRoom, role: str, code: str, *, guess: bool = False) -> Repainted:
    """Return the room's picture with a paint of the deck on a role's area, JPEG, and what to mind about it.

    A picture over an old paint that nothing measured is a guess of how light it comes out, and made for those who ask
    for a ``guess``. Raises :class:`UnmeasuredError` otherwise, another leaf of :class:`matcher.errors.GivensError`
    without that area, that paint, or a card in the picture.
    """
    from matcher.description.asked import find_paints
    from matcher.errors import Problem, UnmeasuredError
    from matcher.report.sentences import MEASURE_OLD_PAINT
    from matcher.report.wording import role_title
    from matcher.service.repainting import repaint_prepared

    deck = deck_of(desk)
    row = find_paints(deck, [code])[0]
    area, prepared = (version_of(room), role), prepared_area(desk, room, role)
    if not (prepared.old.measured or guess):
        raise UnmeasuredError(Problem(role_title(role), *MEASURE_OLD_PAINT))
    colour = deck.lab[row].tolist()
    return _painted.of((area, tuple(colour)), lambda: repaint_prepared(prepared, colour))


def prepared_area(desk: Desk, room: StoredRoom, role: str) -> Prepared:
    """Return the room's picture made ready for any paint on a role's area.

    What was found of the light serves every paint that is tried on it. Raises a leaf of
    :class:`matcher.errors.GivensError` without that area, or a card in the picture.
    """
    from matcher.service.repainting import PREVIEW_SIDE, prepare_repaint

    return _prepared.of(
        (version_of(room), role),
        lambda: prepare_repaint(survey_of(desk, room).measurement, role, longest_side=PREVIEW_SIDE),
    )


def archive(desk: Desk, user: User, room: StoredRoom) -> BinaryIO:
    """Return the room as a zip, with its result where there is one yet: a nameless file, gone when it is closed."""
    from matcher.errors import GivensError
    from matcher.service.archive import write_room

    try:
        answer = ranked(desk, room)
    except GivensError:
        answer = None
    stream = desk.store.photos.workspace.nameless()
    try:
        write_room(desk, user, room.id, stream, result=answer.result if answer else None)
    except (GivensError, OSError):
        stream.close()
        raise
    stream.seek(0)
    return stream
