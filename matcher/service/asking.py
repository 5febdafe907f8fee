"""What a room file asks of a deck: its roles, wishes and choices as one question."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matcher.paints.deck import Deck
    from matcher.ranking.paint_columns import Paints
    from matcher.ranking.question import Question
    from matcher.room.contents import RoomFile
    from matcher.surfaces.surface import Surface


def question_of(room: RoomFile, surfaces: Sequence[Surface], deck: Deck, paints: Paints | None = None) -> Question:
    """Return what is asked for a room whose ``surfaces`` are measured; ``paints`` of the deck, where at hand.

    Raises :class:`matcher.errors.RequestError` for a code that the deck does not have.
    """
    from matcher.description.asked import find_paints
    from matcher.ranking.question import Preferences, Setting, ask

    pins: dict[str, int] = dict(zip(room.pins, find_paints(deck, list(room.pins.values()), where="pins"), strict=True))
    setting = Setting(
        Preferences(room.wishes.warmth, room.wishes.lrv),
        facing=room.room.facing,
        latitude=room.room.latitude,
        lamps_k=room.room.lamps_k,
        pins=pins,
    )
    return ask(room.wishes.roles, surfaces, deck, setting, paints=paints)
