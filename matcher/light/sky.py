"""What colour the sun's and the sky's light have, by the sun's altitude.

The ends are published in lay tables that disagree, so ranges are kept: sun at noon 5000 to 5600 K, at sunrise and
sunset 2000 to 3200; overcast 6000 to 7500; hazy shade 7500 to 8400; blue sky 10000 to 20000. A window to a clear sky
away from the sun is commonly taken as CIE D75 to D100 (practice, from memory). Sun and sky together come to 5700 K over
a day (Hernandez-Andres, Romero, Nieves & Lee 2001, JOSA A 18, 1325). What lies between the ends is an assumption.
"""

from __future__ import annotations

import numpy as np

from matcher.light.light import KelvinRange

# Civil twilight ends where the sun stands this far below the horizon; the sun is up from 0 (refraction is in).
TWILIGHT_DEG, SUNRISE_DEG = -6.0, 0.0

_ALTITUDES_DEG = (0.0, 10.0, 30.0)
_SUN_LOW_K, _SUN_K, _SUN_HIGH_K = (2000.0, 3500.0, 5000.0), (2600.0, 4100.0, 5300.0), (3200.0, 4800.0, 5600.0)

OVERCAST = KelvinRange(6000.0, 6700.0, 7500.0)
BLUE_SKY = KelvinRange(7500.0, 8600.0, 10000.0)
# After sunset what is left is blue sky alone.
TWILIGHT = KelvinRange(9000.0, 12000.0, 20000.0)


def sun_beam(altitude_deg: float) -> KelvinRange:
    """Return the colour temperature of the sun's beam at an altitude, degrees."""
    low, middle, high = (
        float(np.interp(altitude_deg, _ALTITUDES_DEG, column)) for column in (_SUN_LOW_K, _SUN_K, _SUN_HIGH_K)
    )
    return KelvinRange(low, middle, high)


def sky_seen(altitude_deg: float, *, overcast: bool) -> KelvinRange:
    """Return the colour temperature of the sky while the sun stands at an altitude, degrees."""
    if altitude_deg < SUNRISE_DEG:
        return TWILIGHT
    return OVERCAST if overcast else BLUE_SKY
