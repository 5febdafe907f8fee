"""Light that comes back: a paint also lights itself, off the rest of the room, and does so by what it reflects."""

from __future__ import annotations

import numpy as np

from matcher.colorimetry.spaces import Floats

# Assumptions: of the light that leaves a role's paint, the share that comes back to it by way of itself and the room.
# Walls are about half of what encloses a room; a run of cabinets is about a sixth. In the two sample rooms, rendered
# before and after, walls come to 0.43 to 0.48 and cabinets to 0.16.
_COMES_BACK = {
    "walls": 0.45,
    "cabinets": 0.15,
    "ceiling": 0.1,
    "accent": 0.1,
    "island": 0.05,
    "trim": 0.05,
    "door": 0.03,
}


def light_gain(role: str, old: Floats, new: Floats) -> Floats:
    """Return (3,) the light on the area under the new paint over that under the old, cone by cone.

    Light E0 that arrives first becomes E0 / (1 - share * reflectance) with all its returns (geometric series).
    """
    share = _COMES_BACK[role]
    gain: Floats = (1 - share * np.clip(old, 0, 1)) / (1 - share * np.clip(new, 0, 1))
    return gain
