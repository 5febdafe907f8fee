"""The paints that a consultant may be asked about: each role's best ones, were it not for what they clash with."""

from __future__ import annotations

from typing import Any

from matcher.colorimetry.spaces import lab_to_hex
from matcher.paints.deck import Deck
from matcher.ranking.question import Question
from matcher.ranking.rank import clashing
from matcher.report.numbers import rounded
from matcher.report.result import clash_entry

# From here a clash is more than something to watch (matcher/report/wording.py, clash_title).
_SEVERE = 0.33
_MOST = 4  # a role; what a consultant looks through. Assumption.


def rejected(question: Question, deck: Deck) -> dict[str, list[dict[str, Any]]]:
    """Return by role the paints turned down, best first, each with ``clashes`` as in the result, the worst first."""
    return {
        role: [
            {
                "code": deck.codes[found.paint],
                "name": deck.names[found.paint],
                "hex": lab_to_hex(deck.lab[found.paint]),
                "lrv": rounded(float(deck.lrv[found.paint]), 1),
                "score": rounded(found.score, 4),
                "clashes": [clash_entry(clash) for clash in found.clashes],
            }
            for found in clashing(question, role, severity=_SEVERE, most=_MOST)
        ]
        for role in question.roles
    }
