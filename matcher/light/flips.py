"""Where through the day the undertone of a colour changes its family.

Undertones are named beside a white card in the same light (full adaptation): with a part of the lamp's tint left in
the eye every grey would lean to orange by it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from matcher.colorimetry.spaces import Floats
from matcher.harmony.tint import tint, tint_boundary
from matcher.harmony.undertone import Undertone

# Below this visibility a colour by itself is no tint, so it has none to change.
_SEEN_FROM = 1.0
# What lies on the border of two families would change with every cloud: the colour itself has to have moved by half
# the chroma at which a tint shows, which is what people see side by side (harmony/undertone.py).
_MOVED = 0.5


@dataclass(frozen=True, slots=True)
class Flip:
    """At ``hour`` the undertone is of another family than it was ``before``."""

    before: str
    after: str
    hour: float


def flips(hours: Sequence[float], labs: Floats, leans: Sequence[Undertone]) -> tuple[Flip, ...]:
    """Return the flips of one colour, seen fully adapted (H, 3), with its undertone at every hour, in their order.

    Between two families it may be too neutral to have one: then it flips where the new one shows.
    """
    tints = tint(labs)
    plane = np.stack([tints.a_prime, tints.b], axis=-1)
    found: list[Flip] = []
    named: int | None = None
    for place, lean in enumerate(leans):
        if lean.visibility < _SEEN_FROM or lean.family == "neutral":
            continue
        if named is None:
            named = place
        elif lean.family == leans[named].family:
            continue
        else:
            moved = float(np.linalg.norm(plane[place] - plane[named]))
            # The same both ways, or what turned in the morning would not turn back in the evening.
            shows = tint_boundary([lean.hue_deg, leans[named].hue_deg], labs[[place, named], 0])
            if moved >= _MOVED * float(shows.min()):
                found.append(Flip(leans[named].family, lean.family, hours[place]))
                named = place
    return tuple(found)
