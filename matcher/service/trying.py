"""The scheme with one choice changed, at once: nothing is measured or ranked again, and nothing is saved."""

from __future__ import annotations

import copy
from typing import TYPE_CHECKING, Any

from matcher.service.asking import question_of
from matcher.service.live import deck_of, finished_document, told_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from matcher.service.desk import Desk
    from matcher.service.records import StoredRoom

Json = dict[str, Any]


def scheme_with(
    desk: Desk, room: StoredRoom, *, pins: Mapping[str, str | None] | None = None, wishes: Json | None = None
) -> Json:
    """Return the scheme, in words, as it were if these ``pins`` (codes by role) and keys of ``wishes`` were saved, None
    to take one back; ``warnings`` beside it says which wishes cannot all be kept.

    Raises :class:`matcher.errors.GivensError` for what no room file may say, a code that the deck does not have, and a
    room that cannot be measured.
    """
    from matcher.ranking.paint_columns import paints_of
    from matcher.report.reader import scheme_view
    from matcher.report.result import scheme_entry
    from matcher.report.warnings import scheme_warnings
    from matcher.room.reading import room_of
    from matcher.scheme.build import build_scheme
    from matcher.service.doorways import read_rooms

    document = copy.deepcopy(finished_document(room))
    _change(document.setdefault("pins", {}), pins or {})
    _change(document.setdefault("wishes", {}), wishes or {})
    deck = deck_of(desk)
    paints = paints_of(deck)
    seen = [other.asked(deck, paints) for other in read_rooms(desk, room)]
    scheme = build_scheme(
        question_of(room_of(document, {}), told_of(desk, room).survey.measurement, deck, paints), seen
    )
    return {**scheme_view(scheme_entry(scheme, deck), deck), "warnings": scheme_warnings(scheme)}


def _change(table: Json, changes: Mapping[str, Any]) -> None:
    for key, value in changes.items():
        if value is None:
            table.pop(key, None)
        else:
            table[key] = value
