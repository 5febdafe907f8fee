"""Fronts below a worktop: what stands upright lower down gets less light than a card above it, or the other way round.

Lamps hang above and a window shines on what lies flat, so the fronts under a worktop stand in its shade: by lamp light
they got half of what fell on the worktop, a fifth under a pendant, by daylight as much or more. A photo does not tell
surely which it is, so the fall is a distribution with a long tail and not a number: exponential, its mean below. Cards
on several surfaces show by their own disagreement how differently the room is lit, and nothing is added.

Upright is what is painted or of metal: cabinets, doors, an oven. Floors and worktops are of everything else. Timber may
be either and is left as it is.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from matcher.calibration.light import Light
from matcher.room.contents import Material, OutlinedSurface

_UPRIGHT: frozenset[Material] = frozenset({"paint", "metal"})
# Mean of how much less light (logarithm) falls on a front, where nothing speaks of a lamp and what a warm lamp adds.
# Rendered photos, one card listed at a time, a front and what lies above it: 0.09 at the mean of 33 pairs by daylight,
# 0.17 of 20 by lamps whose colour the camera took out, 0.42 of 23 by lamps that it left standing, 1.7 of 12 by
# pendants.
_FALL, _BY_LAMP = 0.12, 0.48
# Part of it that surfaces above get more than a card on a front, which leans out of the front's shade (assumption).
_UPWARDS = 0.4


def light_fall(
    surface: OutlinedSurface, surfaces: Iterable[OutlinedSurface], lights: Sequence[Light], *, lamp: float
) -> float:
    """Return the mean of how much less light (logarithm) is to be expected on ``surface`` than where the one card
    lies: 0 where nothing tells, below 0 where it gets more.

    ``surfaces`` are all of the photo, ``lights`` its cards', ``lamp`` how much speaks of a warm lamp, 0..1.
    """
    if len(lights) != 1 or lights[0].on == surface.name or lights[0].guess_sd is not None:
        return 0.0
    fall = _FALL + _BY_LAMP * lamp
    if _stands_below(surface, float(lights[0].position[1])):
        return fall
    middle = float(np.concatenate([np.asarray(each, dtype=float) for each in surface.polygons])[:, 1].mean())
    under = next((each for each in surfaces if each.name == lights[0].on), None)
    return -_UPWARDS * fall if under is not None and _stands_below(under, middle) else 0.0


def _stands_below(surface: OutlinedSurface, height: float) -> bool:
    """Tell whether all of an upright surface lies lower in the photo than ``height``, counted from above."""
    top = min(point[1] for outline in surface.polygons for point in outline)
    return surface.material in _UPRIGHT and top > height
