"""How much light the surface of a paint mirrors, whatever its colour: that stays when the paint changes."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from matcher.colorimetry.spaces import Floats

# Assumptions. A film of index 1.5 mirrors 4 % at right angles (Fresnel) and more aslant; seen in it is a room a little
# over half as bright as a white surface in daylight, and less by a lamp, whose light falls on little of it. Woodwork is
# usually finished in a satin, walls and ceilings matt: common practice, no source.
_SATIN_BY_DAY, _SATIN_BY_LAMP, _MATT = 0.027, 0.012, 0.0
_MATT_ROLES = {"walls", "ceiling", "accent"}
# Assumption: what is mirrored varies over a room's surfaces this much more than the light that falls on them, as
# variances. It matters on dark paint, where both are about as strong.
_MIRRORED_VARIES = 4.0
# Assumption: the colour of light is believed as if this many times the gloss were mirrored, as it is seen aslant.
_MIRRORED_COLOUR = 2.0
_DARKEST = 1e-5


def gloss_of(role: str, lamp_share: float) -> float:
    """Return what the usual sheen of a role's paint adds to its reflectance in light ``lamp_share`` of it lamplight."""
    return _MATT if role in _MATT_ROLES else (1 - lamp_share) * _SATIN_BY_DAY + lamp_share * _SATIN_BY_LAMP


def without_mirrored(light: NDArray[np.float32], cones: Floats, gloss: float) -> NDArray[np.float32]:
    """Return the ``light`` (N, 3) on a paint that reflects ``cones`` (3,), less what was mirrored in its surface.

    On dark paint much of what differs from place to place is mirrored, not light falling: differences from the middle,
    in level and in colour, are believed by the share of them that the paint's own reflectance explains.
    """
    body = float(cones[1])
    believed = min(1.0, body * (body + gloss) / (body**2 + _MIRRORED_VARIES * gloss**2))
    if gloss == 0.0 or not len(light):
        return light
    light = np.maximum(light, np.float32(_DARKEST))
    level = light[:, 1:2]
    colour = light / level
    usual = np.median(colour, axis=0)
    colour = usual * (colour / usual) ** np.float32(body / (body + _MIRRORED_COLOUR * gloss))
    middle = np.median(level)
    return np.asarray(colour * middle * (level / middle) ** np.float32(believed), dtype=np.float32)
