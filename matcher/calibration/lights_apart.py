"""Cards at several places of a photo tell lights of other colours: two lights, or one that falls off?

One light hardly changes its colour on its way from a window or a lamp. Where little of it arrives, what floors, timber
and walls throw back is more of the whole, and that is warmer as a rule (assumption): the dimmer place is the warmer.
How far that reaches follows from how much dimmer it is; what it does not reach is another light.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from matcher.calibration.light import Light
from matcher.photo.decoded import Finding

# Assumption: the light's blue against red at two cards further apart than this (logarithm) is worth a word.
_APART = 0.16
# What is thrown back changes ln(red / blue) by at most this much at the brighter of two places, and at the dimmer one
# as many times more as there is less light. Assumption: in twelve rendered photos with one light, cards lay up to 0.38
# apart, and no more than 0.13 beyond this; in one of three with two lights 0.18 beyond it, in the others under 0.12.
_THROWN_BACK = 0.3


def lights_apart(lights: Sequence[Light]) -> tuple[Finding, ...]:
    """Return what is said where the light's colour differs between cards of one photo; a warning where no single light
    makes it so.
    """
    red_blue = np.array([light.cones[0] - light.cones[2] for light in lights])
    level = np.array([light.cones[1] for light in lights])
    warmer = red_blue[:, None] - red_blue
    dimmer = np.maximum(level - level[:, None], 0)
    beyond = warmer - _THROWN_BACK * np.expm1(dimmer)
    if warmer.max() <= _APART:
        return ()
    spread = ("spread", round(float(warmer.max()), 3))
    return (Finding("mixed light", "warn" if beyond.max() > _APART else "note", (spread,)),)
