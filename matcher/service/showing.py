"""What leaves the consultant's desk: the room repainted, the report, the room as a file."""

from __future__ import annotations

import json
from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from hashlib import sha256
from threading import Lock
from typing import TYPE_CHECKING, Any

from matcher.recall import Recall
from matcher.report.unbroken import unbroken as unbroken
from matcher.service.deck_in_use import deck_with
from matcher.service.live import deck_for, ranked, room_file_of, survey_of

if TYPE_CHECKING:
    from typing import BinaryIO

    from matcher.repaint.prepare import Prepared
    from matcher.service.desk import Desk
    from matcher.service.records import StoredRoom, User
    from matcher.service.repainting import Repainted

Json = dict[str, Any]

# Assumptions: a few roles of the rooms that are open at a time, each with planes of one preview; pictures looked at.
_prepared, _painted = Recall(8), Recall(32)
# Who prepares a role, and who waits: two rooms share a turn now and then, which costs a wait and nothing else.
_turns = tuple(Lock() for _ in range(16))


@dataclass(frozen=True, slots=True)
class Repaintable:
    """The photo to repaint, by the name of its ``file`` and by ``sha``, and the ``roles`` outlined in it."""

    file: str
    sha: str
    roles: tuple[str, ...]


def repaintable(room: StoredRoom) -> Repaintable | None:
    """Return the photo that would be repainted, None while it is not known which or no area is outlined in it."""
    from matcher.service.repainting import photo_to_repaint

    shas = {photo.name: photo.sha for photo in room.photos}
    entries = [entry for entry in room.document.get("photos", ()) if entry["file"] in shas]
    number = photo_to_repaint([(bool(entry.get("whole_room")), bool(entry.get("areas"))) for entry in entries])
    roles = () if number is None else tuple(dict.fromkeys(area["role"] for area in entries[number].get("areas", ())))
    if number is None or not roles:
        return None
    file = entries[number]["file"]
    return Repaintable(file, shas[file], roles)


def report(desk: Desk, room: StoredRoom, *, appendix: bool = True) -> str:
    """Return the report of the room as it stands: one HTML file, with or without the ``appendix`` for the consultant.

    Raises :class:`matcher.errors.RequestError` while nothing is measured; for a letterhead that cannot be read only
    without the appendix, as the consultant's own page does without one.
    """
    from matcher.errors import RequestError
    from matcher.handover.contents import Letterhead
    from matcher.service.handover import contents_of_stored, letterhead_of
    from matcher.service.report_page import client_page, whole_page
    from matcher.service.room_file import pictures_of

    try:
        letterhead = letterhead_of(desk.settings)
    except RequestError:
        if not appendix:
            raise
        letterhead = Letterhead()
    contents = contents_of_stored(desk, room, letterhead=letterhead, what="report")
    answer = ranked(desk, room)
    if not appendix or answer is None:
        return client_page(contents)
    measurement = survey_of(desk, room).measurement
    return whole_page(
        contents,
        room=room_file_of(desk, room),
        measurement=measurement,
        deck=deck_for(desk, room),
        advice=answer.advise(),
        pictures=pictures_of(measurement),
    )


def repainted(desk: Desk, room: StoredRoom, role: str, code: str, *, guess: bool = False) -> Repainted:
    """Return the room's picture with a paint of the deck on a role's area, JPEG, and what to mind about it.

    A picture over an old paint that nothing measured is a guess of how light it comes out, and made for those who ask
    for a ``guess``. Raises :class:`UnmeasuredError` otherwise, another leaf of :class:`matcher.errors.GivensError`
    without that area, that paint, or a card in the picture.
    """
    together = repainted_together(desk, room, {role: code}, guessed=(role,) if guess else ())
    (said,) = together.result["painted"]
    return replace(together, result={"size": together.result["size"], **said})


def repainted_together(
    desk: Desk, room: StoredRoom, paints: Mapping[str, str], *, guessed: Collection[str] = ()
) -> Repainted:
    """Return the room's picture with a paint of the deck (code) on each role of ``paints``, at least one; JPEG.

    ``result["painted"]`` says of each role what to mind. Roles whose old paint nothing measured have to be among the
    ``guessed``. Raises as :func:`repainted` does.
    """
    from matcher.description.asked import find_paints
    from matcher.errors import Problem, RequestError, UnmeasuredError
    from matcher.report.sentences import MEASURE_OLD_PAINT
    from matcher.report.wording import role_title
    from matcher.service.repainting import repaint_together

    if not paints:
        raise RequestError(Problem("roles", "nothing is to be painted", "Name a role and a paint."))
    deck = deck_with(desk, paints.values())
    rows = find_paints(deck, list(paints.values()))
    parts = []
    for role, row in zip(paints, rows, strict=True):
        prepared = prepared_role(desk, room, role)
        if not (prepared.old.measured or role in guessed):
            raise UnmeasuredError(Problem(role_title(role), *MEASURE_OLD_PAINT))
        parts.append((prepared, deck.lab[row].tolist()))
    known = [deck.measured(row) for row in rows]
    colours = tuple(
        (role, *colour, b"" if one is None else one.tobytes())
        for role, (_, colour), one in sorted(zip(paints, parts, known, strict=True), key=lambda part: part[0])
    )
    return _painted.of((marked_version(room), colours), lambda: repaint_together(parts, known))


def prepared_role(desk: Desk, room: StoredRoom, role: str) -> Prepared:
    """Return the room's picture ready for any paint on a role: what was found of the light serves all of them.

    Whoever asks while it is being made waits for it. Raises a leaf of :class:`matcher.errors.GivensError` as
    :func:`repainted` does.
    """
    from matcher.service.repainting import PREVIEW_SIDE, prepare_repaint

    key = (marked_version(room), role)
    with _turns[hash(key) % len(_turns)]:
        return _prepared.of(
            key, lambda: prepare_repaint(survey_of(desk, room).measurement, role, longest_side=PREVIEW_SIDE)
        )


def marked_version(room: StoredRoom) -> str:
    """Return what stands for a room's photos and marks as they are now: choosing a paint or a wish changes neither."""
    marks = {key: room.document.get(key) for key in ("photos", "surfaces")}
    shas = sorted((photo.name, photo.sha) for photo in room.photos)
    text = json.dumps([room.id, shas, marks], sort_keys=True)
    return sha256(text.encode("utf-8")).hexdigest()


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
