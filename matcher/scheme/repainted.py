"""What new paint on a role puts right: the old one fought a surface that stays, and the new one does not.

Told only where the old paint was measured, as a surface of the role's name.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from matcher.harmony.tint import tint
from matcher.ranking import weights
from matcher.ranking.judge import accord, clash_severity
from matcher.ranking.question import Question
from matcher.ranking.shortlist import Reason

# How badly (0..1) the old paint has to fight, so that ridding a surface of it is worth telling. Assumption.
_FOUGHT_FROM = 0.2


def puts_right(question: Question, role: str, paint: int) -> Iterator[Reason]:
    """A reason of kind ``lets-given-stay`` for every surface that the role's old paint fights and ``paint`` (a row)
    does not.
    """
    old = next((surface for surface in question.going if surface.name.casefold() == role), None)
    if old is None:
        return
    givens = question.givens
    both = np.stack([np.asarray(old.colours[0].lab, dtype=np.float64), question.paints.lab[paint]])
    severity = clash_severity(accord(tint(both).at((slice(None), None)), givens.tint).total) * givens.seen
    for place, surface in enumerate(givens.surfaces):
        was, now = severity[:, givens.columns(place)].max(axis=1).tolist()
        if was >= _FOUGHT_FROM and now < weights.LEAST_SEVERITY:
            seen = weights.SEEN_ANYHOW + (1 - weights.SEEN_ANYHOW) * float(givens.visibility[place])
            values = (("role", role), ("old_clash", was), ("clash", now))
            yield Reason("lets-given-stay", True, values, (surface.name,), weights.SPEAKS["lets-given-stay"] * seen)
