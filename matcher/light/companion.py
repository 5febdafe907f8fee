"""The lighter companion of a paint for a room with little light: the same undertone, so many LRV lighter.

That a dim room, or one away from the sun, wants the lighter and warmer of two is common practice, no source; what is
reckoned is how little light there is, and what in the deck has the same undertone.

The lighter companion of a scheme's walls (matcher/scheme/companions.py) is offered for any room with little light: a
fixed step, the same hue, within the client's limits. Here the light is known, the step goes with it, and the same
undertone is that of a tint of the same paint, nearer to grey the lighter it is. The two may name two paints for one
room.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from matcher.colorimetry.spaces import Floats
from matcher.harmony.tint import own_boundary, tint

# Below this level at its brightest a room counts as dim: half of a good light for judging colours (assumption).
DIM_BELOW = 0.5
# Darker paints are chosen for their depth, whatever the light, and whites have nothing lighter that is not stark: LRV
# between which a companion is looked for (assumption).
_FROM_LRV, _TO_LRV = 30.0, 75.0
# LRV points lighter in a room without any daylight, in proportion to what is missing otherwise, and how far from that
# the deck's may lie (assumptions: two to three steps of a strip).
_LIGHTER_BY, _AT_LEAST, _WITHIN = 24.0, 6.0, 8.0
# Same undertone: within so much of a tint boundary in the plane of a* and b*, the chroma of a lighter tint of the same
# paint being less (assumption).
_SAME_UNDERTONE = 0.75


@dataclass(frozen=True, slots=True)
class Companion:
    """Row of the deck and how many LRV points it is lighter."""

    row: int
    lrv_difference: float


def lighter_companion(lab: Floats, lrv: float, level: float, deck_lab: Floats, deck_lrv: Floats) -> Companion | None:
    """Return the paint of a deck (N, 3) that is what ``lab`` (3,) is, only lighter, for a room whose brightest hour has
    so much light, 0..1; None where the room is not dim, the paint is deep or a white, or the deck has
    none.
    """
    if level >= DIM_BELOW or not _FROM_LRV <= lrv <= _TO_LRV:
        return None
    wanted = max(_LIGHTER_BY * (1 - level), _AT_LEAST)
    step = deck_lrv - lrv
    here, there = tint(lab), tint(deck_lab)
    # In a tint of the same paint hue stays and chroma falls with the way to white.
    fades = np.clip((100 - deck_lab[:, 0]) / max(100 - float(lab[0]), 1e-6), 0.5, 1)
    apart = np.hypot(there.a_prime - fades * here.a_prime, there.b - fades * here.b)
    boundary = float(own_boundary(lab)) if np.any(lab[1:]) else float("inf")
    allowed = (np.abs(step - wanted) <= _WITHIN) & (step >= _AT_LEAST) & (apart <= _SAME_UNDERTONE * boundary)
    rows = np.flatnonzero(allowed)
    if not len(rows):
        return None
    best = rows[np.argmin(apart[rows] / boundary + np.abs(step[rows] - wanted) / (2 * _WITHIN))]
    return Companion(int(best), float(step[best]))
