"""One room's scheme as a web of places: what its roles are worth, alone and beside each other.

A scheme's value is the weighted sum of each paint's own score and of each rule between two roles
(matcher/ranking/neighbours.py). The walls are tied to almost every role.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.ranking import weights
from matcher.ranking.neighbours import RULES, Looked, looked_fit, most_fit, most_looked_fit
from matcher.ranking.patches import Patches, most_between
from matcher.scheme.web import Cover, Covered, Groups, Link, Rows, Web, Worth

FloatArray = NDArray[np.floating[Any]]


@dataclass(frozen=True, slots=True, eq=False)
class Task:
    """``scores`` (N,) by role, in the order the roles are told; ``lab`` (N, 3)."""

    scores: Mapping[str, FloatArray]
    lab: FloatArray

    @property
    def roles(self) -> tuple[str, ...]:
        """The roles of the scheme."""
        return tuple(self.scores)

    def rules(self) -> tuple[tuple[str, str], ...]:
        """The rules that speak of two of these roles."""
        return tuple(pair for pair in RULES if pair[0] in self.scores and pair[1] in self.scores)

    def weight(self) -> float:
        """What a scheme could reach if everything were perfect."""
        return sum(weights.ROLE_WEIGHTS[role] for role in self.roles) + weights.PAIR_WEIGHT * len(self.rules())

    def web(self) -> Web:
        """The same as a web."""
        own = {role: weights.ROLE_WEIGHTS[role] * scores for role, scores in self.scores.items()}
        looked = Looked.at(self.lab.astype(np.float32))
        links = {}
        for pair in self.rules():
            most = most_fit(*pair, looked)
            caps = None if most is None else (weights.PAIR_WEIGHT * most[0], weights.PAIR_WEIGHT * most[1])
            links[pair] = Link(
                weights.PAIR_WEIGHT, (_fit(*pair, looked),), caps, (_most(pair, looked),), (_cover(pair, looked),),
                looked.lab,
            )  # fmt: skip
        return Web(own, links)


def _most(pair: tuple[str, str], looked: Looked) -> Worth:
    def worth(first: Rows, second: Rows) -> FloatArray:
        return np.asarray(weights.PAIR_WEIGHT * most_looked_fit(pair, looked.take(first), looked.take(second)))

    return worth


def _cover(pair: tuple[str, str], looked: Looked) -> Cover:
    def cover(first: Groups, second: Groups) -> Covered:
        mine, theirs = (Patches.of(looked.take(each.rows), each.starts) for each in (first, second))
        return lambda one, other: weights.PAIR_WEIGHT * most_between(pair, mine.at(one), theirs.at(other))

    return cover


def _fit(role: str, other: str, looked: Looked) -> Worth:
    def worth(first: Rows, second: Rows) -> FloatArray:
        fit = looked_fit(role, looked.take(first), other, looked.take(second))
        return np.asarray(weights.PAIR_WEIGHT * fit.astype(np.float64))

    return worth
