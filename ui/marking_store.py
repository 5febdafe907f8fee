"""The marks of one photo between the browser and the store: every change saved, nobody's overwritten, ids kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import streamlit as st

from matcher.errors import ConflictError
from matcher.service.desk import load_room, save_document
from matcher.service.marks import marks_of, proposed_cards, with_marks
from matcher.service.records import StoredPhoto, StoredRoom
from ui.marking.component import Mark
from ui.state import Visit

MarkData = dict[str, Any]


@dataclass(slots=True)
class _Held:
    """What a session knows of a photo's marks: those it sent last, the revisions that came ``from_here``, and those
    that wait because somebody else saved meanwhile.
    """

    sent: list[MarkData] = field(default_factory=list)
    from_here: set[int] = field(default_factory=set)
    waiting: list[MarkData] | None = None


class PhotoMarks:
    """Marks of ``photo``; ``room`` is the room as it stands after the last save; ``faults`` what could not be kept."""

    def __init__(self, visit: Visit, room: StoredRoom, photo: StoredPhoto) -> None:
        self.visit, self.room, self.photo = visit, room, photo
        self.faults: list[str] = []
        # Wherever the session's state is looked up a run may be broken off by the next one: looked up once, before
        # anything is taken from the browser, so that what was taken is stored as well.
        self._held: _Held = st.session_state.setdefault(f"photo-marks-{room.id}-{photo.sha}", _Held())

    def shown(self) -> list[Mark]:
        """Return the stored marks, under the ids the browser knows them by where it drew them itself."""
        entry: MarkData = next((e for e in self.room.document.get("photos", ()) if e["file"] == self.photo.name), {})
        stored = marks_of(entry)
        ids = {_content(mark): mark["id"] for mark in self._held.sent}
        taken = set(ids.values())
        fresh = (f"s{number}" for number in range(1, 10_000) if f"s{number}" not in taken)
        return [_mark({**mark, "id": ids.get(_content(mark)) or next(fresh)}) for mark in stored]

    def known(self) -> dict[str, str]:
        """Return the surfaces that other photos of the room show, with their material, by name."""
        others = [entry for entry in self.room.document.get("photos", ()) if entry["file"] != self.photo.name]
        found = {surface["name"]: surface["material"] for entry in others for surface in entry.get("surfaces", ())}
        return dict(sorted(found.items()))

    def found(self) -> list[Mark]:
        """Return the cards that were found in the photo and that nobody has marked yet."""
        return [_mark(card) for card in proposed_cards(self.photo.verdict, [mark.as_data() for mark in self.shown()])]

    def cards(self) -> list[tuple[tuple[float, float], ...]]:
        """Return the outlines of all cards of the photo, marked or only found."""
        return [mark.polygon for mark in (*self.shown(), *self.found()) if mark.kind == "card"]

    def save(self, marks: Sequence[MarkData], *, base_revision: int) -> None:
        """Save the marks; where somebody else saved since ``base_revision``, keep them aside and overwrite nothing."""
        if [_content(mark) for mark in marks] == [_content(mark.as_data()) for mark in self.shown()]:
            # Sent again after a broken connection: stored already.
            return
        # Drawn faster than saved: the browser may not have heard yet of revisions that came from here.
        if base_revision != self.room.revision and self.room.revision not in self._held.from_here:
            self._held.waiting = list(marks)
            return
        self._write(marks)

    def pending(self) -> list[MarkData] | None:
        """Return marks that wait because somebody else saved meanwhile."""
        return self._held.waiting

    def give_up(self) -> None:
        """Forget the marks that wait."""
        self._held.waiting = None

    def insist(self) -> None:
        """Save the marks that wait over those of this photo; everything else in the room stays as it is stored."""
        waiting = self.pending()
        self.give_up()
        if waiting is not None:
            self._write(waiting)

    def _write(self, marks: Sequence[MarkData]) -> None:
        size = (self.photo.width, self.photo.height)
        document, self.faults = with_marks(self.room.document, self.photo.name, marks, size)
        try:
            revision = save_document(
                self.visit.desk, self.visit.user, self.room.id, document, revision=self.room.revision
            )
        except ConflictError:
            self._held.waiting = list(marks)
            return
        self._held.sent = list(marks)
        self._held.from_here.add(revision)
        self.room = load_room(self.visit.desk, self.visit.user, self.room.id)


def _content(mark: MarkData) -> tuple[Any, ...]:
    fields = tuple(
        (key, tuple(value) if isinstance(value, list) else value)
        for key, value in sorted(mark.items())
        if key not in ("id", "polygon", "set") and value
    )
    return fields, tuple((round(x, 1), round(y, 1)) for x, y in mark["polygon"])


def _mark(data: MarkData) -> Mark:
    return Mark(**{**data, "polygon": tuple((float(x), float(y)) for x, y in data["polygon"])})
