"""What to measure next, and how much it would help: numbers only, worded elsewhere."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from matcher.surfaces.surface import FloatArray

# From least to most trouble for whoever has to do it (common practice, no source).
ActionKind = Literal[
    "grey card", "second photo", "three cards", "paint chips", "daylight", "chart", "instrument", "sample board"
]
ACTIONS: tuple[ActionKind, ...] = get_args(ActionKind)
# Assumptions, in points of score, of which a few hundredths mean nothing by the report's own words: a paint that is
# better by this much is another choice; a measurement that gains less than that on average is not worth the asking.
NOTICED, WORTH_ASKING = 0.01, 0.002
# What a householder with a phone and three cards can do.
BY_PHOTO: frozenset[ActionKind] = frozenset({"grey card", "second photo", "three cards", "daylight"})


@dataclass(frozen=True, slots=True, eq=False)
class Action:
    """One thing to do next at ``surface`` (empty for a painted sample board).

    ``gain`` is what it takes off the regret to be expected, ``regret`` what it leaves (both as a score, 0..1, a mean
    over the roles); ``change`` (0..1) the chance that for some role it brings out a paint that is better than today's
    choice by what is noticed. ``lab`` (3,) is the surface's main colour with its ``covariance`` now and, to be
    expected, ``afterwards`` (3, 3).
    """

    kind: ActionKind
    surface: str
    gain: float
    regret: float
    change: float
    lab: FloatArray
    covariance: FloatArray
    afterwards: FloatArray


@dataclass(frozen=True, slots=True)
class RoleDoubt:
    """``regret``: how much better than today's choice the best paint for ``role`` is to be expected once everything is
    known; ``change``: how probable it is that another paint is then better by what is noticed.
    """

    role: str
    regret: float
    change: float


@dataclass(frozen=True, slots=True, eq=False)
class Advice:
    """``actions`` by gain, a sample board last; ``regret`` that is left today, and by role.

    ``best`` is the action to name, None where the advice stands: nothing that can be measured would change the choice
    enough to be worth it. ``photo`` is the same among what a householder can do with a phone and cards.
    """

    actions: tuple[Action, ...]
    regret: float
    roles: tuple[RoleDoubt, ...]
    best: Action | None
    photo: Action | None

    @property
    def stands(self) -> bool:
        """Tell whether nothing is left that is worth measuring."""
        return self.best is None
