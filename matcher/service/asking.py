"""What a room file asks of a deck: its roles, wishes and choices as one question."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from matcher.paints.deck import Deck
    from matcher.ranking.limits import Limits
    from matcher.ranking.paint_columns import Paints
    from matcher.ranking.question import Question
    from matcher.room.contents import RoomFile, Wishes
    from matcher.surfaces.surface import Surface


class Measured(Protocol):
    """What of a measured room its paints are chosen by."""

    @property
    def surfaces(self) -> tuple[Surface, ...]: ...


def question_of(room: RoomFile, measurement: Measured, deck: Deck, paints: Paints | None = None) -> Question:
    """Return what is asked for a measured room; ``paints`` of the deck, where at hand.

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
        day=date.fromisoformat(room.room.date) if room.room.date else None,
        pins=pins,
        limits=_limits_of(room.wishes, deck),
    )
    return ask(room.wishes.roles, measurement.surfaces, deck, setting, paints=paints)


def avoiding_of(room: RoomFile, deck: Deck) -> RoomFile:
    """Return the room without the paints to avoid that the deck does not have: nobody can be shown those."""
    avoid = tuple(code for code in room.wishes.avoid if code in deck.row_of)
    return room.model_copy(update={"wishes": room.wishes.model_copy(update={"avoid": avoid})})


def _limits_of(wishes: Wishes, deck: Deck) -> Limits:
    from matcher.description.asked import find_paints
    from matcher.ranking.limits import Contrast, Limits

    return Limits(
        avoid=frozenset(find_paints(deck, list(wishes.avoid), where="wishes.avoid")),
        avoid_families=frozenset(wishes.avoid_families),
        lrv=dict[str, tuple[float, float]](wishes.lrv_of.items()),
        contrasts=tuple(
            Contrast(
                asked.between,
                0.0 if asked.at_least is None else asked.at_least,
                100.0 if asked.at_most is None else asked.at_most,
            )
            for asked in wishes.contrast
        ),
        most_paints=wishes.most_paints,
        one_trim=wishes.one_trim,
    )
