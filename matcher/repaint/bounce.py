"""Light that comes back: a paint also lights itself, off the rest of the room, and does so by what it reflects.

Only on the painted area itself. What the rest of the room gets more or less of is not shown.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from matcher.colorimetry.spaces import Floats

# Assumptions: of the light that leaves a role's paint, the share that comes back to it by way of itself and the room.
# Walls are half of what encloses a room, whatever of them the picture shows; of other roles the share goes with the
# part of the picture they take. In the two sample rooms, rendered before and after, it is 0.46 to 0.56 for walls and
# 0.4 to 0.6 times the part of the picture for cabinets.
_ENCLOSING = {"walls": 0.5, "ceiling": 0.15}
_OF_PICTURE = 0.55
# Assumption: how much more it weighs where less light falls, as a power of the middle light over the light there (0: as
# much as anywhere, 1: the same amount of light comes back everywhere), and within what limits.
_EVENNESS, _UNEVEN = 0.5, (0.5, 2.0)
_DARKEST = np.float32(1e-5)


def light_under(
    falling: NDArray[np.float32], old: Floats, new: Floats, *, role: str, picture_share: float
) -> NDArray[np.float32]:
    """Return the light (N, 3) on the area under the new paint, from that ``falling`` (N, 3) under the old.

    ``old`` and ``new`` (3,) are reflectances, cone by cone, ``picture_share`` the part 0..1 of the picture that is
    area. Light E0 that arrives first becomes E0 / (1 - share * reflectance) with all its returns (geometric series).
    They come from all over the room, so they change the light more where little falls, as in corners.
    """
    if not len(falling):
        return falling
    share = _ENCLOSING.get(role, _OF_PICTURE * picture_share)
    gain = (1 - share * np.clip(old, 0, 1)) / (1 - share * np.clip(new, 0, 1))
    level = np.maximum(falling[:, 1:2], _DARKEST)
    weight = np.clip((np.median(level) / level) ** np.float32(_EVENNESS), *_UNEVEN)
    return np.asarray(falling * (1 + weight * (gain - 1).astype(np.float32)), dtype=np.float32)
