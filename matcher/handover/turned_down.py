"""Paints that were weighed and turned down: the best there would be, did they not clash with something that stays."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from matcher.handover.contents import TurnedDown
from matcher.paints.deck import Deck
from matcher.ranking.question import Question
from matcher.ranking.rank import clashing
from matcher.ranking.shortlist import Candidate, Clash
from matcher.report.result import fact_entry
from matcher.report.wording import FIGHTS_FROM

_MOST = 2
# Only what would show, "fights" on the page, and is all but certain. Assumption.
_SURE = 0.9
# Clashing paints looked at: mostly the first few have two, and farther down than the last none would have been thought
# of. Assumptions.
_LOOKED_AT = (20, 200)


def turned_down(question: Question, deck: Deck, role: str) -> tuple[TurnedDown, ...]:
    """Return up to two, best first, each for another surface."""
    found: list[TurnedDown] = []
    for most in _LOOKED_AT:
        candidates = clashing(question, role, severity=FIGHTS_FROM, most=most)
        found = _of(candidates, deck)
        if len(found) == _MOST or len(candidates) < most:
            break
    return tuple(found)


def _of(candidates: Sequence[Candidate], deck: Deck) -> list[TurnedDown]:
    found: list[TurnedDown] = []
    for candidate in candidates:
        clash = _worst(candidate, {each.surface for each in found})
        if clash is not None and len(found) < _MOST:
            found.append(_entry(candidate, clash, deck))
    return found


def _worst(candidate: Candidate, told: Collection[str]) -> Clash | None:
    sure = (clash for clash in candidate.clashes if clash.severity >= FIGHTS_FROM and clash.probability >= _SURE)
    return next((clash for clash in sure if clash.surface not in told), None)


def _entry(candidate: Candidate, clash: Clash, deck: Deck) -> TurnedDown:
    against = (each for each in candidate.reasons if not each.favours and clash.surface in each.surfaces)
    reason = next(against, None)
    lightness, a, b = deck.lab[candidate.paint]
    return TurnedDown(
        code=deck.codes[candidate.paint],
        name=deck.names[candidate.paint],
        lab=(float(lightness), float(a), float(b)),
        surface=clash.surface,
        clash=clash.kind,
        fact=None if reason is None else fact_entry(reason),
    )
