"""A whole scheme: one paint a role, chosen together."""

from __future__ import annotations

from dataclasses import dataclass

from matcher.ranking.model import Reason


@dataclass(frozen=True, slots=True)
class RolePaint:
    """The paint (row in the deck) chosen for a role, and why. ``pinned`` when the consultant chose it."""

    role: str
    paint: int
    pinned: bool
    reasons: tuple[Reason, ...]


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
