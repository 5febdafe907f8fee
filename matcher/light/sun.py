"""Where the sun stands. Hours are local solar time: at 12 it stands highest.

The ephemeris is that of the library ephem (VSOP87, some arc seconds), with the refraction of ordinary air, as almanacs
print it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import ephem

# Solar time is found from clock time in steps: the equation of time is under 17 minutes and changes by half a minute a
# day, so the second step is exact to a hundredth of a second.
_STEPS = 3
# Within a hair of a pole the azimuth still has a meaning.
_MOST_LATITUDE = 89.999


@dataclass(frozen=True, slots=True)
class Sun:
    """``altitude_deg`` -90..90 above the horizon, ``azimuth_deg`` [0, 360) from north through east."""

    altitude_deg: float
    azimuth_deg: float


def sun_by_solar_time(latitude: float, day: date, hour: float) -> Sun:
    """Return where the sun stands at an ``hour``, 0..24, of local solar time, at a ``latitude``, south negative."""
    observer = _observer(latitude, 0.0)
    moment = datetime(day.year, day.month, day.day) + timedelta(hours=hour)
    wanted = math.radians(15 * (hour - 12))
    clock = moment
    for _ in range(_STEPS):
        here = _body(observer, clock)
        behind = (wanted - (observer.sidereal_time() - here.ra) + math.pi) % math.tau - math.pi
        clock += timedelta(hours=behind / math.radians(15))
    return _seen(_body(observer, clock))


def sun_by_clock(latitude: float, longitude: float, moment: datetime) -> Sun:
    """Return where the sun stands at a ``moment`` of universal time; east of Greenwich ``longitude`` is positive."""
    return _seen(_body(_observer(latitude, longitude), moment))


def _observer(latitude: float, longitude: float) -> ephem.Observer:
    import ephem

    observer = ephem.Observer()
    # Plain numbers are radians there, texts degrees.
    observer.lat = math.radians(max(-_MOST_LATITUDE, min(_MOST_LATITUDE, latitude)))
    observer.lon = math.radians(longitude)
    return observer


def _body(observer: ephem.Observer, moment: datetime) -> ephem.Sun:
    import ephem

    observer.date = ephem.Date(moment)
    return ephem.Sun(observer)


def _seen(sun: ephem.Sun) -> Sun:
    return Sun(math.degrees(sun.alt), math.degrees(sun.az) % 360)
