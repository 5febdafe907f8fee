"""How far a paint goes: a whole room, a whole room where there is light for it, or an accent.

By its LRV, its chroma and, where that is known, how much sun the room gets. Common practice, no source, all of it but
the direction: in full-scale rooms walls look more chromatic than the chip, and colder away from the sun (Harleman
2007, J. Int. Colour Assoc.).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Goes = Literal["whole", "with light", "accent"]
Why = Literal["light", "mid", "deep", "near black", "strong", "lively", "little sun", "much sun"]

# LRV from which four walls carry a paint in any light, and from which they do where the room has light enough; how much
# a room without sun asks for more and one full of it for less.
WHOLE_FROM_LRV, WITH_LIGHT_FROM_LRV, SUN_SHIFT = 45.0, 22.0, 10.0
# Chroma C*ab from which a colour is lively on four walls, and from which it is for an accent alone.
LIVELY_FROM, STRONG_FROM = 20.0, 36.0
# How much sun or how little, 0..1, is worth a word.
_WORTH = 0.5
_NEAR_BLACK_LRV, _DEEP_LRV = 5.0, 20.0


@dataclass(frozen=True, slots=True)
class Reach:
    """How far a paint ``goes`` and ``why``, weightiest first; ``asks`` is the LRV from which this room's light carries
    four walls of it.
    """

    goes: Goes
    why: tuple[Why, ...]
    asks: float


def reach_of(lrv: float, chroma: float, away_from_sun: float | None = None) -> Reach:
    """Judge a paint of ``lrv`` 0..100 and C*ab; ``away_from_sun`` -1 (full sun) to +1 (none), None where not known."""
    away = away_from_sun or 0.0
    asks = WHOLE_FROM_LRV + SUN_SHIFT * away
    sun: tuple[Why, ...] = ("little sun",) if away >= _WORTH else ("much sun",) if away <= -_WORTH else ()
    level = _level(lrv)
    if chroma >= STRONG_FROM:
        return Reach("accent", ("strong",), asks)
    lively: tuple[Why, ...] = ("lively",) if chroma >= LIVELY_FROM else ()
    if lrv < WITH_LIGHT_FROM_LRV:
        return Reach("accent", (level, *lively), asks)
    if lrv < asks:
        return Reach("with light", (level, *sun, *lively), asks)
    return Reach("with light" if lively else "whole", (level, *lively, *sun), asks)


def _level(lrv: float) -> Why:
    if lrv < _NEAR_BLACK_LRV:
        return "near black"
    return "deep" if lrv < _DEEP_LRV else "mid" if lrv < WHOLE_FROM_LRV else "light"
