"""Contrast for people with low vision: which parts of a room stand out from each other, by each published rule.

Parts are the paints of a scheme by role, and what was measured in the room: a floor, a door that stays, a handle. Each
pair is held against every rule, under its own name and with its own threshold; they disagree, none of them was written
for homes alone, and none is a verdict: local codes and a licensed professional decide.

=============  ==========================================================================
pair           why (BS 8300-2 and Approved Document M speak of them)
=============  ==========================================================================
walls, floor   where the room ends
walls, trim    where the wall ends, and where the frame of a door is
door, walls    where the way out is
door, trim     the same, against its frame
door, handle   where to take hold; what projects is asked for half the points
=============  ==========================================================================
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from matcher.harmony.visual_contrast import PROJECTING, RULES, ContrastRule
from matcher.surfaces.doubt import NINETY_PERCENT

PAIRS = (("walls", "floor"), ("walls", "trim"), ("door", "walls"), ("door", "trim"), ("door", "handle"))
# Names of surfaces that stand for a part of a room: any of these words in the name, or the name as a whole.
_WORDS = {"handle": {"handle", "handles", "knob", "lever"}, "floor": {"floor", "flooring", "floorboards", "carpet"}}
_NAMES = {
    "walls": {"walls", "wall"},
    "door": {"door", "doors"},
    "trim": {"trim", "skirting", "architrave", "baseboard", "door frame"},
}

Verdict = Literal["meets", "misses", "open"]


@dataclass(frozen=True, slots=True)
class Part:
    """One part of a room: its ``name``, its LRV 0..100 and one standard deviation of it; 0 for a paint of the deck."""

    name: str
    lrv: float
    sd: float = 0.0


@dataclass(frozen=True, slots=True)
class PairContrast:
    """A pair held against ``rule``: ``value`` in the rule's unit.

    ``verdict`` is open where the doubt of a measured part, nine times in ten, spans the threshold.
    """

    first: Part
    second: Part
    rule: ContrastRule
    value: float
    verdict: Verdict


def parts_of(paints: Mapping[str, float], measured: Sequence[Part]) -> dict[str, Part]:
    """Return the parts that are known; ``paints`` are LRVs by role, and go before what was measured of a role."""
    parts = {role: Part(role, lrv) for role, lrv in paints.items()}
    for one in measured:
        stands_for = _part_called(one.name.casefold())
        if stands_for is not None:
            parts.setdefault(stands_for, one)
    return parts


def _part_called(name: str) -> str | None:
    """Return the part that a surface of this name is."""
    words = set(name.split())
    by_word = (part for part, called in _WORDS.items() if words & called)
    by_name = (part for part, called in _NAMES.items() if name in called)
    return next(by_word, None) or next(by_name, None)


def contrasts(parts: Mapping[str, Part]) -> tuple[PairContrast, ...]:
    """Return every pair of known parts by every rule."""
    return tuple(_by_rules(parts))


def _by_rules(parts: Mapping[str, Part]) -> Iterator[PairContrast]:
    for first, second in PAIRS:
        if first in parts and second in parts:
            for rule in (*RULES, PROJECTING) if second == "handle" else RULES:
                yield _held(parts[first], parts[second], rule)


def _held(first: Part, second: Part, rule: ContrastRule) -> PairContrast:
    value = float(rule.measure(first.lrv, second.lrv))
    outcomes = {rule.passes(a, b) for a in _ends(first) for b in _ends(second)}
    verdict: Verdict = "open" if len(outcomes) > 1 else "meets" if outcomes.pop() else "misses"
    return PairContrast(first, second, rule, value, verdict)


def _ends(part: Part) -> tuple[float, ...]:
    half = NINETY_PERCENT * part.sd
    return (part.lrv,) if not half else (max(part.lrv - half, 0.0), part.lrv, min(part.lrv + half, 100.0))
