"""What falls on a window from sun and sky, and how much of it is left in the room.

Illuminances by the IES recommended practice for the calculation of daylight availability (J. Illuminating Engineering
Soc. 13(4), 1984, 381-392): means of the kind of sky, of which a moment may have half or twice as much. What the ground
sends up is left out: before a window away from the sun it lies in the house's own shade (assumption).
"""

from __future__ import annotations

import math
from datetime import date

from matcher.light.sky import SUNRISE_DEG, TWILIGHT_DEG
from matcher.light.sun import Sun

COMPASS = ("N", "NE", "E", "SE", "S", "SW", "W", "NW")

# IES 1984: sunlight outside the atmosphere, lux, its yearly swing, and what clear air takes of it.
_SOLAR_LUX, _SWING, _CLEAR_AIR = 127_500.0, 0.034, 0.21
# Outdoors at the end of civil twilight about 3.4 lux fall on the ground, at sunrise some 600 (means from memory;
# sources differ); on a window half of it. Under cloud about a third (assumption).
_LAST_LUX, _SUNRISE_LUX, _UNDER_CLOUD = 3.4 / 2, 600.0 / 2, 1 / 3

# Flux through the window spread over all that encloses the room, with what is sent round in it: T A / (S (1 - R)), the
# integrating sphere behind the average daylight factor. Assumed: glass that lets 0.6 through, dirt and bars counted, of
# a 24th of what encloses the room, which sends back half.
_LET_IN = 0.6 / 24 / (1 - 0.5)
# Of the sun's beam a pane at a slant of less than half a degree lets nothing in (assumption).
_GRAZING = 0.0087
# ISO 3664 judges prints by 500 lux as a good room does (P2), and offices are lit to as much (EN 12464-1), both from
# memory: level 1 (assumption).
GOOD_LUX = 500.0


def facing_deg(facing: str) -> float:
    """Return the azimuth that a window to a compass point looks to; ValueError for a point that is none."""
    return 45.0 * COMPASS.index(facing)


def falls_at(sun: Sun, facing: str) -> float:
    """Return the cosine of the angle between the sun and straight into the window; 0 where it does not reach it."""
    if sun.altitude_deg <= SUNRISE_DEG:
        return 0.0
    into = math.cos(math.radians(sun.altitude_deg)) * math.cos(_beside(sun, facing))
    return into if into > _GRAZING else 0.0


def sun_lux(sun: Sun, facing: str, day: date) -> float:
    """Return what the sun in a clear sky lays on the window, lux."""
    altitude = math.sin(math.radians(sun.altitude_deg))
    if altitude <= 0:
        return 0.0
    number = day.timetuple().tm_yday
    outside = _SOLAR_LUX * (1 + _SWING * math.cos(math.tau * (number - 2) / 365))
    return outside * math.exp(-_CLEAR_AIR / altitude) * falls_at(sun, facing)


def sky_lux(sun: Sun, facing: str | None, *, overcast: bool) -> float:
    """Return what the sky lays on the window, lux; ``facing`` matters under a clear sky only, and is asked for there.

    Below the end of civil twilight nothing is left.
    """
    altitude = sun.altitude_deg
    if altitude < TWILIGHT_DEG:
        return 0.0
    cloud = _UNDER_CLOUD if overcast else 1.0
    if altitude < SUNRISE_DEG:
        risen = (altitude - TWILIGHT_DEG) / (SUNRISE_DEG - TWILIGHT_DEG)
        return cloud * _LAST_LUX * math.pow(_SUNRISE_LUX / _LAST_LUX, risen)
    angle = math.radians(altitude)
    if overcast or facing is None:
        found: float = 8_500.0 * math.sin(angle)
    else:
        beside = math.cos(_beside(sun, facing))
        whole = 4_000.0 * angle**1.3 + 12_000.0 * math.sin(angle) ** 0.3 * max(math.cos(angle), 0.0) ** 1.3
        found = whole * (2 + beside) / (3 - beside)
    return max(found, cloud * _SUNRISE_LUX)


def room_lux(window_lux: float) -> float:
    """Return what is left of it in the room on average, lux."""
    return _LET_IN * window_lux


def level(lux: float) -> float:
    """Return how light that is, 0..1: the share of a good light for judging colours."""
    return min(lux / GOOD_LUX, 1.0)


def _beside(sun: Sun, facing: str) -> float:
    return math.radians(sun.azimuth_deg - facing_deg(facing))
