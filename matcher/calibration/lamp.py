"""How much the colour that the camera left in the cards speaks of lamp light.

A phone balances daylight nearly out and leaves a part of a warm lamp's colour standing; what it took out itself cannot
be seen. So warmth left in the card tells of a lamp, and its absence tells little.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from matcher.calibration.patch import LEVELS, Patch
from matcher.calibration.tone_curve import plain_table
from matcher.colorimetry.spaces import Floats
from matcher.photo.decoded import ColourSpace

# Assumption, from rendered practice photos: warmth from which a lamp is likely, and the span until it is certain.
_FROM, _SPAN = 0.26, 0.35


def warmth_left(patches: Sequence[Patch], space: ColourSpace) -> float:
    """Return red over blue (logarithm) that the camera left in ``patches`` (at least one) of one photo."""
    plain = plain_table(space, LEVELS)
    return warmth_of(np.mean([p.linear(plain) / p.reflected(np.eye(3)) for p in patches], axis=0))


def warmth_of(light: Floats) -> float:
    """Return the same for the linear RGB (3,) of a neutral patch."""
    red, _, blue = np.maximum(light, 1e-6)
    return float(np.log(red / blue))


def lamp_share(warmth: float) -> float:
    """Return 0 (nothing speaks of a lamp) to 1 (a warm lamp)."""
    return float(np.clip((warmth - _FROM) / _SPAN, 0, 1))
