"""One paint of the deck examined in a room: everything that the page of a paint shows, ready."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from matcher.recall import Recall
from matcher.service.deck_in_use import deck_with
from matcher.service.live import version_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from matcher.service.desk import Desk
    from matcher.service.records import StoredRoom

Json = dict[str, Any]
_views = Recall(64)  # assumption: as many paints as anybody looks at in a morning


def examined(desk: Desk, room: StoredRoom, code: str, staying: Sequence[Mapping[str, Any]] = ()) -> Json:
    """Return a paint in words and colours (:func:`matcher.report.paint_view.paint_view`), in a room's light and beside
    what stays.

    ``staying`` are the entries of the surfaces that stay, none while nothing is measured. Raises
    :class:`matcher.errors.RequestError` for a code that the deck does not have.
    """
    from matcher.description.asked import find_paints
    from matcher.ranking.light import away_from_sun
    from matcher.report.paint_in_room import paint_in_room

    deck = deck_with(desk, [code])
    (row,) = find_paints(deck, [code])
    about = room.document.get("room", {})
    away = away_from_sun(about.get("facing"), about.get("latitude"))
    key = (*version_of(room), deck.sha256, code, bool(staying))
    return _views.of(key, lambda: paint_in_room(deck, row, staying, away))
