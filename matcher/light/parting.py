"""Which of two colours that match by day part in another light."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.spaces import Floats

# Side by side a match by day is nearer than this, dE00 (as matcher/ranking/weights.py takes a match); in the other
# light it is farther, by what half of the observers see (0.8: ISO/TR 28642, from memory). Reflectances recovered from
# a colour are good to about 1, so what is said rests on their likelihood; measured ones tell.
_MATCH, _VISIBLE = 2.0, 0.8


@dataclass(frozen=True, slots=True)
class Parting:
    """Colours ``a`` and ``b``, by their places, that match by day within ``by_day`` dE00 and are ``de00`` apart in the
    light number ``light``, where they are farthest apart.
    """

    a: int
    b: int
    light: int
    by_day: float
    de00: float


def partings(by_day: Floats, labs: Floats, pairs: Sequence[tuple[int, int]] | None = None) -> tuple[Parting, ...]:
    """Return the pairs of N colours, (N, 3) by day, that match there and part in one of the lights, (N, L, 3)."""
    found = []
    for a, b in combinations(range(len(by_day)), 2) if pairs is None else pairs:
        together = float(delta_e_2000(by_day[a], by_day[b]))
        if together >= _MATCH:
            continue
        apart = delta_e_2000(labs[a], labs[b])
        worst = int(np.argmax(apart))
        if apart[worst] >= _MATCH and apart[worst] - together >= _VISIBLE:
            found.append(Parting(a, b, worst, together, float(apart[worst])))
    return tuple(sorted(found, key=lambda parting: -parting.de00))
