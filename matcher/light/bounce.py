"""Light that comes off the walls and the floor before it falls on a colour: one bounce.

In painted rooms colours come out more chromatic than on the chip (Harleman 2007, J. Int. Colour Assoc.), and colours in
a room of two become more alike (Billger 1999, Color Res. Appl. 24): light that has been on a wall takes its colour
along. How much of it there is, is an assumption.
"""

from __future__ import annotations

import numpy as np

from matcher.colorimetry.spaces import Floats

# Of what falls straight on a colour, so much again comes off walls that were white, and off such a floor (assumptions:
# walls are half of what encloses a room and the floor a sixth, and the window lights both less than what faces it).
_OFF_WALLS, _OFF_FLOOR = 0.3, 0.1


def with_bounce(walls: Floats | None, floor: Floats | None) -> Floats:
    """Return by what the light is multiplied, at each wavelength, that falls straight and off walls and floor once.

    They are reflectances, (36,) or (N, 36) where every colour has its own, as a paint for the walls has itself around
    it; what is not known sends nothing back.
    """
    factor: Floats = np.ones(36)
    for share, around in ((_OFF_WALLS, walls), (_OFF_FLOOR, floor)):
        if around is not None:
            factor = factor + share * around
    return factor
