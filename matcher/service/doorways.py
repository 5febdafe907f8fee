"""The rooms of the store that are seen from one, read for its scheme: measured, and asked of the same deck.

Only rooms of the consultant whose room it is are ever read, whoever asks. One that is gone, that nothing is measured
in yet, or that cannot be read, is left out and said to be. The rooms that a seen room names itself are out of view.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from matcher.errors import GivensError, NotFoundError, Problem, StoreError
from matcher.recall import Recall
from matcher.service.rooms_chosen import entries_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from matcher.paints.deck import Deck
    from matcher.ranking.paint_columns import Paints
    from matcher.room.contents import RoomFile
    from matcher.scheme.sightlines import SeenRoom
    from matcher.service.desk import Desk
    from matcher.store.beside import Beside
    from matcher.store.stored import StoredRoom, User
    from matcher.surfaces.told import RoomTold

State = Literal["seen", "bare", "broken", "gone", "file"]
# What the store calls its rooms (matcher/store/rooms.py).
_ID = re.compile(r"[0-9a-f]{32}")
# Assumption: what the rooms of a morning's work look into; a few kilobytes each, as no photo is kept.
_measured = Recall(32)


@dataclass(frozen=True, slots=True)
class Doorway:
    """A room that the brief says is seen: its ``id`` in the store, "" for a file, its ``name``, what it is seen
    ``through``, and whether it is "seen" by the scheme; if not, why: "bare" while nothing is measured in it, "broken"
    where it asks for what cannot be, "gone" from the store, or the "file" of a room that was brought in.
    """

    id: str
    name: str
    through: str
    state: State


@dataclass(frozen=True, slots=True)
class ReadRoom:
    """A room that is seen: its ``id``, what it is seen ``through``, its ``file`` and what was measured."""

    id: str
    through: str
    file: RoomFile
    measurement: RoomTold

    @property
    def codes(self) -> tuple[str, ...]:
        """The codes of paints that it speaks of."""
        return (*self.file.pins.values(), *self.file.wishes.avoid)

    def asked(self, deck: Deck, paints: Paints | None = None) -> SeenRoom:
        """Return it as the scheme takes it; raises RequestError for a code that the deck does not have."""
        from matcher.scheme.sightlines import SeenRoom
        from matcher.service.asking import question_of

        question = question_of(self.file, self.measurement, deck, paints)
        return SeenRoom(self.id, self.file.room.name, self.through, question)


def beside(desk: Desk, room: StoredRoom, references: Iterable[str]) -> Mapping[str, Beside]:
    """Return name and revision of each of these that is another room of the same consultant's."""
    from matcher.store.beside import beside

    return beside(desk.store, room.id, [reference for reference in references if _ID.fullmatch(reference)])


def seen_versions(desk: Desk, room: StoredRoom) -> tuple[tuple[str, int], ...]:
    """Return what stands for the rooms seen from this one as they are now, beside the room's own version."""
    return tuple(sorted((id_, known.revision) for id_, known in _there(desk, room).items()))


def doorways(desk: Desk, room: StoredRoom) -> tuple[Doorway, ...]:
    """Return the rooms that the brief says are seen from this one, in its order."""
    there = _there(desk, room)
    found = []
    for entry in entries_of(room.document):
        id_, through = str(entry.get("stored") or ""), str(entry.get("through") or "")
        if id_ in there:
            read = _read(desk, room, id_, there[id_])
            found.append(Doorway(id_, there[id_].name, through, read if isinstance(read, str) else "seen"))
        else:
            called = str(entry.get("name") or entry.get("file") or "")
            found.append(Doorway(id_, called, through, "gone" if id_ else "file"))
    return tuple(found)


def read_rooms(desk: Desk, room: StoredRoom) -> tuple[ReadRoom, ...]:
    """Return the rooms seen from this one that can be chosen for, in the order of its brief."""
    there = _there(desk, room)
    found = []
    for entry in entries_of(room.document):
        id_, through = str(entry.get("stored") or ""), str(entry.get("through") or "")
        read = _read(desk, room, id_, there[id_]) if id_ in there else "gone"
        if not isinstance(read, str):
            found.append(ReadRoom(id_, through, *read))
    return tuple(found)


def keep_there(desk: Desk, user: User, other: str, codes: Mapping[str, str]) -> None:
    """Choose paints, codes by role, in a room that is seen; what is chosen there already stays.

    Raises NotFoundError, also for somebody else's room; ConflictError where it was changed in between.
    """
    from matcher.service.desk import load_room, save_document
    from matcher.service.scheme_choices import with_paint

    stored = load_room(desk, user, other)
    document = stored.document
    for role, code in codes.items():
        if role not in stored.document.get("pins", {}):
            document = with_paint(document, role, code)
    if document != stored.document:
        save_document(desk, user, other, document, revision=stored.revision)


def _there(desk: Desk, room: StoredRoom) -> Mapping[str, Beside]:
    return beside(desk, room, [str(entry.get("stored") or "") for entry in entries_of(room.document)])


def _read(desk: Desk, room: StoredRoom, other: str, known: Beside) -> tuple[RoomFile, RoomTold] | State:
    """Return another room and what was measured in it, or why it is not chosen for."""
    from matcher.description.asked import find_paints
    from matcher.service.asking import avoiding_of
    from matcher.service.deck_in_use import deck_with
    from matcher.service.live import deck_of, told_of
    from matcher.store.beside import load_beside

    def read() -> tuple[RoomFile, RoomTold]:
        stored = load_beside(desk.store, room.id, other)
        if stored is None:
            raise NotFoundError(Problem("room", "there is no such room"))
        told = told_of(desk, stored)
        return told.file, told.survey.measurement

    try:
        # Chips, and what the room asks for, are told by the deck.
        deck = deck_of(desk)
        file, measurement = _measured.of((other, known.revision, deck.sha256), read)
        deck = deck_with(desk, file.pins.values())
        file = avoiding_of(file, deck)
        find_paints(deck, list(file.pins.values()))
    except NotFoundError:
        return "gone"
    except StoreError:
        raise  # it passes: a scheme without the room must not be what is remembered
    except GivensError:
        return "broken"
    return (file, measurement) if measurement.surfaces else "bare"
