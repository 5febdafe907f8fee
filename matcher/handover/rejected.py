"""The paints that a consultant may be asked about: each role's best ones, were it not for what they clash with."""

from __future__ import annotations

from collections import Counter
from typing import Any

from matcher.colorimetry.spaces import lab_to_hex
from matcher.paints.deck import Deck
from matcher.ranking.question import Question
from matcher.ranking.rank import clashing
from matcher.ranking.shortlist import Candidate
from matcher.report.numbers import rounded
from matcher.report.result import clash_entry
from matcher.report.wording import FIGHTS_FROM

# What a consultant looks through for a role, how many of them for one thing that stays, and how far down they are
# sought. Assumptions.
_MOST, _MOST_FOR_ONE, _LOOKED_AT = 4, 2, 12


def rejected(question: Question, deck: Deck) -> dict[str, list[dict[str, Any]]]:
    """Return by role the paints turned down, best first, each with ``clashes`` as in the result, the worst first."""
    return {role: [_entry(found, deck) for found in _of_each_kind(question, role)] for role in question.roles}


def _of_each_kind(question: Question, role: str) -> list[Candidate]:
    """Return candidates that do not all clash with the same thing."""
    found: list[Candidate] = []
    against: Counter[str] = Counter()
    for candidate in clashing(question, role, severity=FIGHTS_FROM, most=_LOOKED_AT):
        worst = candidate.clashes[0].surface
        if against[worst] < _MOST_FOR_ONE and len(found) < _MOST:
            against[worst] += 1
            found.append(candidate)
    return found


def _entry(found: Candidate, deck: Deck) -> dict[str, Any]:
    return {
        "code": deck.codes[found.paint],
        "name": deck.names[found.paint],
        "hex": lab_to_hex(deck.lab[found.paint]),
        "lrv": rounded(float(deck.lrv[found.paint]), 1),
        "score": rounded(found.score, 4),
        "clashes": [clash_entry(clash) for clash in found.clashes],
    }
