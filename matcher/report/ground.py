"""The neutral grey that a swatch lies on, and the paler one for paints that would melt into it."""

from __future__ import annotations

from typing import Literal

from matcher.colorimetry.lrv import lightness_from_lrv
from matcher.colorimetry.spaces import hex_to_lab

Ground = Literal["ground", "pale"]

# The greys as the style sheets have them; and how near in L* a paint melts into one (assumption).
GREYS: dict[Ground, str] = {"ground": "#b9b9b9", "pale": "#e0e0e0"}
MELTS_WITHIN = 10.0


def ground_of(lrv: float) -> Ground:
    """Return the ground that a paint of ``lrv`` 0..100 is seen on: the paler one where it melts into the usual one and
    stands out from the paler one more.

    >>> ground_of(48.0), ground_of(90.0), ground_of(64.0)
    ('pale', 'ground', 'ground')
    """
    own = float(lightness_from_lrv(lrv))
    usual, pale = (abs(own - float(hex_to_lab(grey)[0])) for grey in GREYS.values())
    return "pale" if usual < MELTS_WITHIN and usual < pale else "ground"
