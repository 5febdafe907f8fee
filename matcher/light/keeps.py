"""How well colours keep their character through a day: the colour beside a white card in each light, against daylight.

Lightness is left out: it goes with the light for all colours alike.
"""

from __future__ import annotations

import numpy as np

from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.spaces import Floats

# dE00 of hue and chroma at which half of the character is gone. Assumption: two to three times what people call a
# visible difference (CIELAB 2.3: Mahy, Van Eycken & Oosterlinck 1994).
_HALF_GONE = 2.5
# The worst hour counts this much beside the mean of all (assumption): a wall that is another colour every evening has
# not kept its own, however constant it is by day.
_WORST = 0.5


def kept(as_chip: Floats, as_seen: Floats) -> Floats:
    """Return (N, L), 0..1, how much of their character colours (N, 3) keep as seen, fully adapted, (N, L, 3)."""
    level = as_seen.copy()
    level[..., 0] = as_chip[:, None, 0]
    shift = delta_e_2000(as_chip[:, None], level)
    return np.asarray(1 / (1 + (shift / _HALF_GONE) ** 2))


def keeps(parts: Floats, hours: Floats) -> Floats:
    """Return (N,), 0..1, what :func:`kept` comes to over lights that last so many ``hours`` (L,)."""
    lasting = hours > 0
    mean = parts @ (hours / hours.sum())
    return np.asarray((1 - _WORST) * mean + _WORST * parts[:, lasting].min(axis=1))
