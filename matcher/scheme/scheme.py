"""A whole scheme: one paint a role, chosen together."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from matcher.ranking.shortlist import Clash, Reason

CompanionKind = Literal["lighter", "darker", "partner"]
Step = Literal["stark", "clean", "creamy"]
Verdict = Literal["sits", "contrasts", "yellows", "looks dirty"]


@dataclass(frozen=True, slots=True)
class RolePaint:
    """The paint (row in the deck) for a role, why, and what it clashes with; ``pinned`` when it was chosen before."""

    role: str
    paint: int
    pinned: bool
    reasons: tuple[Reason, ...]
    clashes: tuple[Clash, ...] = ()


@dataclass(frozen=True, slots=True)
class SchemeCheck:
    """A rule measured on the scheme: ``rule`` picks the wording, ``roles`` the two paints, ``value`` the number."""

    rule: str
    roles: tuple[str, ...]
    value: float
    passes: bool


@dataclass(frozen=True, slots=True)
class Alternative:
    """Another whole scheme; ``kind`` says what it trades (lighter, warmer, quieter, ...), ``trade`` is a Reason."""

    kind: str
    roles: tuple[RolePaint, ...]
    score: float
    trade: Reason


@dataclass(frozen=True, slots=True)
class Companion:
    """A paint (row in the deck) that goes with the walls', and the fact that makes it one."""

    kind: CompanionKind
    paint: int
    fact: Reason


@dataclass(frozen=True, slots=True)
class TrimStep:
    """A white of the trim ladder (row in the deck); ``beside`` what it does beside each surface and role, a fact each:
    its kind is the verdict, with a hyphen for a space and "trim-" in front.
    """

    step: Step
    paint: int
    beside: tuple[tuple[str, Verdict, Reason], ...]


@dataclass(frozen=True, slots=True)
class AskedFor:
    """A wish as it is told: its kind (matcher/scheme/wishes.py), the roles it speaks of and its values; ``room`` is the
    name of another room that it was made for, empty for this one.
    """

    kind: str
    roles: tuple[str, ...]
    values: tuple[tuple[str, float | str], ...]
    room: str = ""


@dataclass(frozen=True, slots=True)
class GivenUp:
    """``fight`` the wishes that cannot be kept together with this deck; ``dropped`` the fewest that have to give."""

    fight: tuple[AskedFor, ...]
    dropped: tuple[AskedFor, ...]


@dataclass(frozen=True, slots=True)
class OtherRoom:
    """A room seen from this one, with the paints (rows in the deck) chosen for it together with this room's."""

    file: str
    name: str
    through: str
    roles: Mapping[str, int]
    pinned: tuple[str, ...]
    checks: tuple[SchemeCheck, ...]


@dataclass(frozen=True, slots=True)
class Scheme:
    """``optimal`` is true only where the search proved that no other combination of the deck scores higher, of all
    rooms together where others are seen from this one; ``score`` is of this room.
    """

    roles: tuple[RolePaint, ...]
    score: float
    optimal: bool
    checks: tuple[SchemeCheck, ...]
    alternatives: tuple[Alternative, ...]
    companions: tuple[Companion, ...] = ()
    trim_ladder: tuple[TrimStep, ...] = ()
    given_up: GivenUp | None = None
    rooms: tuple[OtherRoom, ...] = ()
