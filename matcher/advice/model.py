"""What to measure next, and how much it would help: numbers only, worded elsewhere."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from matcher.surfaces.model import FloatArray

# From least to most trouble for whoever has to do it (common practice, no source).
ActionKind = Literal["grey card", "second photo", "three cards", "daylight", "chart", "instrument", "sample board"]
ACTIONS: tuple[ActionKind, ...] = get_args(ActionKind)
# What a householder with a phone and three cards can do.
BY_PHOTO: frozenset[ActionKind] = frozenset({"grey card", "second photo", "three cards", "daylight"})


@dataclass(frozen=True, slots=True, eq=False)
class Action:
    """One thing to do next at ``surface`` (empty for a painted sample board).

    ``gain`` is what it takes off the regret to be expected, ``regret`` what it leaves (both as a score, 0..1, a mean
    over the roles); ``change`` (0..1) the chance that some role's best paint is another one afterwards. ``lab`` (3,) is
    the surface's main colour with its ``covariance`` now and, to be expected, ``afterwards`` (3, 3).
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
    known; ``change``: how probable it is that today's choice is then not the best.
    """

    role: str
    regret: float
    change: float


@dataclass(frozen=True, slots=True, eq=False)
class Advice:
    """``actions`` best first, a sample board last; ``regret`` that is left today, and by role.

    ``stands``: nothing that can be measured would change the choice enough to be worth it.
    """

    actions: tuple[Action, ...]
    regret: float
    roles: tuple[RoleDoubt, ...]
    stands: bool

    @property
    def best(self) -> Action | None:
        """What would settle most, None where the advice stands."""
        return None if self.stands else self.actions[0]

    @property
    def photo(self) -> Action | None:
        """The most useful photo with a card, None where none is worth asking for."""
        worth = (action for action in self.actions if action.kind in BY_PHOTO and action.gain >= WORTH_ASKING)
        return None if self.stands else next(worth, None)


# Score points of gain below which a further measurement is not worth the asking. Assumption: a tenth of a difference
# in fit that "means nothing" by the report's own words (a few hundredths).
WORTH_ASKING = 0.002
