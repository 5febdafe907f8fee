"""What is asked: which paints for these roles, beside what stays, in this light, with these wishes and choices made.

Asked once; ranking, scheme and advice each take the question as it is.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from matcher.errors import Problem, RequestError
from matcher.light.situation import Situation
from matcher.paints.deck import Deck
from matcher.ranking import weights
from matcher.ranking.givens import Givens, gather
from matcher.ranking.judge import Judged, judge_measured
from matcher.ranking.light import RoomLight, keeps_in, room_light
from matcher.ranking.limits import Limits
from matcher.ranking.paint_columns import Paints, paints_of
from matcher.surfaces.surface import Surface

FloatArray = NDArray[np.floating[Any]]
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Preferences:
    """``warmth``: "warm", "cool" or "either"; ``lrv_range`` asked of the walls, or None."""

    warmth: str = "either"
    lrv_range: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Setting:
    """What the room and the client add to the colours: ``facing`` a compass point and ``latitude`` degrees, None where
    unknown; ``lamps_k`` kelvin; the ``day`` whose light counts; ``wishes`` are weighed, ``limits`` kept; ``pins`` the
    row of the deck chosen for a role already.
    """

    wishes: Preferences = Preferences()
    facing: str | None = None
    latitude: float | None = None
    lamps_k: float | None = None
    pins: Mapping[str, int] = field(default_factory=dict)
    day: date | None = None
    limits: Limits = field(default_factory=Limits)

    @property
    def light(self) -> RoomLight:
        """Which light the room gets. ValueError for a compass point that is none."""
        return room_light(self.facing, self.latitude, self.lamps_k)

    @property
    def situation(self) -> Situation:
        """What is known of the room's light, hour by hour."""
        return Situation(self.latitude, self.facing, self.day, self.lamps_k)


@dataclass(frozen=True, slots=True, eq=False)
class Question:
    """``roles`` to find paints for, in the order asked; ``givens`` what stays; ``paints`` to choose from, and
    how each is ``judged`` beside every surface as measured; ``keeps`` (N,), 0..1, how well each keeps its character in
    the room's light; ``going`` the old paint that was measured and is to go.
    """

    roles: tuple[str, ...]
    givens: Givens
    paints: Paints
    setting: Setting
    judged: tuple[Judged, ...]
    keeps: FloatArray
    going: tuple[Surface, ...] = ()

    @property
    def open_roles(self) -> tuple[str, ...]:
        """The roles that nothing is chosen for yet."""
        return tuple(role for role in self.roles if role not in self.setting.pins)

    def with_pins(self, pins: Mapping[str, int]) -> Question:
        """The same with these paints (rows of the deck) chosen instead."""
        return replace(self, setting=replace(self.setting, pins=dict(pins)))

    def beside(self, role: str) -> dict[str, FloatArray]:
        """Return CIELAB (3,) of the paints already chosen for other roles."""
        return {other: self.paints.lab[row] for other, row in self.setting.pins.items() if other != role}


def ask(
    roles: Sequence[str],
    surfaces: Sequence[Surface],
    deck: Deck,
    setting: Setting | None = None,
    *,
    paints: Paints | None = None,
) -> Question:
    """Ask for paints of ``deck`` for ``roles`` beside those ``surfaces`` that stay; ``paints`` are the deck's, where at
    hand.

    Raises :class:`RequestError` for a role nobody knows, ValueError without a surface.
    """
    asked = setting or Setting()
    for role in (*roles, *asked.pins):
        if role not in weights.ROLES:
            raise RequestError(Problem(f"role {role!r}", "is none we know", f"Use one of: {', '.join(weights.ROLES)}"))
    kept = staying(surfaces, {*roles, *asked.pins}, lambda surface: surface.name)
    givens, columns = gather(kept), paints_of(deck) if paints is None else paints
    return Question(
        tuple(dict.fromkeys(roles)),
        givens,
        columns,
        asked,
        judge_measured(columns, givens),
        keeps_in(asked.situation, columns),
        going=tuple(surface for surface in surfaces if all(surface is not one for one in kept)),
    )


def staying(surfaces: Sequence[T], roles: Collection[str], name: Callable[[T], str]) -> tuple[T, ...]:
    """Return the surfaces that are none of the ``roles`` to be painted; all of them where nothing else is measured.

    Old paint that is to go is measured too, but nothing has to suit it.

    >>> staying(["floor", "Cabinets"], ["walls", "cabinets"], str)
    ('floor',)
    """
    kept = tuple(surface for surface in surfaces if name(surface).casefold() not in roles)
    return kept or tuple(surfaces)
