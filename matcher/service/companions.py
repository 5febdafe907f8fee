"""What goes with the walls' paint, the ladder of trim whites, and the rooms in view: ready for a page to show.

Every text is a whole phrase without a full stop, but for what says that there is none.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from matcher.service.tiles import Ground, ground_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from matcher.service.live import LiveRanking

Json = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Swatch:
    """A paint of the deck and the ground it is seen on."""

    code: str
    name: str
    hex: str
    lrv: float
    ground: Ground


@dataclass(frozen=True, slots=True)
class CompanionTile:
    """What goes with the walls: ``kind`` lighter, darker or partner, what it is for, the ``paint``, and why it is one;
    without a paint ``text`` says that the deck has none.
    """

    kind: str
    title: str
    paint: Swatch | None
    text: str


@dataclass(frozen=True, slots=True)
class TrimLine:
    """What a white does beside a surface or a role of that ``name``; ``well`` unless one of the two looks amiss."""

    name: str
    verdict: str
    text: str
    well: bool


@dataclass(frozen=True, slots=True)
class TrimTile:
    """A step of the ladder, stark, clean or creamy, the ``paint`` and its ``lines``; without a paint ``text`` says that
    the deck has none. ``chosen`` where it is the trim of the scheme.
    """

    step: str
    title: str
    paint: Swatch | None
    lines: tuple[TrimLine, ...]
    text: str
    chosen: bool


@dataclass(frozen=True, slots=True)
class RoomInView:
    """A room seen from this one: its ``file``, or its id where it is stored, its ``paints`` by role, the roles whose
    paint is ``kept`` there, and what holds through the doorway or does not, in words.
    """

    file: str
    name: str
    through: str
    paints: Mapping[str, Swatch]
    kept: frozenset[str]
    holds: tuple[str, ...]
    misses: tuple[str, ...]


def companion_tiles(ranked: LiveRanking) -> tuple[CompanionTile, ...]:
    """Return one tile a kind, in the order lighter, darker, partner; none where no walls are painted."""
    return tuple(
        CompanionTile(one["kind"], one["title"], _swatch(one["paint"]), one["text"])
        for one in ranked.scheme["companions"]
    )


def trim_tiles(ranked: LiveRanking) -> tuple[TrimTile, ...]:
    """Return one tile a step, from stark to creamy; none where no trim is painted."""
    return tuple(
        TrimTile(
            one["step"], one["title"], _swatch(one["paint"]), tuple(TrimLine(**line) for line in one["lines"]),
            one["text"], one["chosen"],
        )
        for one in ranked.scheme["ladder"]
    )  # fmt: skip


def rooms_in_view(ranked: LiveRanking) -> tuple[RoomInView, ...]:
    """Return the rooms seen from this one, in the order of the room file."""
    rooms = []
    for room in ranked.scheme["rooms"]:
        paints = {paint["id"]: Swatch(*_told(paint)) for paint in room["paints"]}
        told = {passes: tuple(c["text"] for c in room["checks"] if c["passes"] == passes) for passes in (True, False)}
        kept = frozenset(paint["id"] for paint in room["paints"] if paint["pinned"])
        rooms.append(RoomInView(room["file"], room["name"], room["through"], paints, kept, told[True], told[False]))
    return tuple(rooms)


def _swatch(paint: Json | None) -> Swatch | None:
    return None if paint is None else Swatch(*_told(paint))


def _told(paint: Json) -> tuple[str, str, str, float, Ground]:
    return paint["code"], paint["name"], paint["hex"], paint["lrv"], ground_of(paint["lrv"])
