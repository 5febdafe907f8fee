"""What a ranking says: candidates, their reasons and their clashes, as numbers. Wording is made elsewhere."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

ClashKind = Literal["warm-cool", "undertone", "lightness"]


@dataclass(frozen=True, slots=True)
class Reason:
    """A measured fact that speaks for or against a paint.

    ``kind`` picks the sentence in report/wording.py, ``values`` fill it in (name, number or word), ``surfaces`` name
    the givens (or paints) it speaks of, ``weight`` (0..1) orders the reasons of one candidate.
    """

    kind: str
    favours: bool
    values: tuple[tuple[str, float | str], ...]
    surfaces: tuple[str, ...]
    weight: float


@dataclass(frozen=True, slots=True)
class Clash:
    """A pairing that will fight. ``severity`` 0..1; ``probability`` 0..1 under the measurement's uncertainty."""

    surface: str
    kind: ClashKind
    severity: float
    probability: float
    values: tuple[tuple[str, float | str], ...]


@dataclass(frozen=True, slots=True)
class Terms:
    """The parts of a score, each 0..1, 1 best."""

    harmony: float
    undertone: float
    contrast: float
    light: float
    wishes: float


@dataclass(frozen=True, slots=True)
class Candidate:
    """One paint in a role. ``paint`` is the row in the deck; ``stands_for`` lists near-identical rows it represents,
    ``tied_with`` those of the list that score as well by what was measured; ``for_direction`` whether it is listed to
    show another direction, before paints that score more.
    """

    rank: int
    paint: int
    score: float
    terms: Terms
    clashes: tuple[Clash, ...]
    reasons: tuple[Reason, ...]
    stability: float
    stands_for: tuple[int, ...]
    for_direction: bool
    tied_with: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Shortlist:
    """The candidates of one role, best first; ``notes`` what has to be said before them."""

    role: str
    candidates: tuple[Candidate, ...]
    notes: tuple[Reason, ...] = ()
