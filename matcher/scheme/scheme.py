"""A whole scheme: one paint a role, chosen together."""

from __future__ import annotations

from dataclasses import dataclass

from matcher.ranking.shortlist import Clash, Reason


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
class Scheme:
    """``optimal`` is true only where the search proved that no other combination of the deck scores higher."""

    roles: tuple[RolePaint, ...]
    score: float
    optimal: bool
    checks: tuple[SchemeCheck, ...]
    alternatives: tuple[Alternative, ...]
