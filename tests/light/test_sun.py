"""The sun's place against positions that NREL published or that its reference program prints."""

from __future__ import annotations

import math
from datetime import date, datetime

import pytest

from matcher.light.sun import Sun, sun_by_clock, sun_by_solar_time

# Place, moment of universal time, latitude, longitude, azimuth, zenith distance.
# Ten from the table made with NREL's own spa.c (revised 8 September 2014; klausbrunner/solarpositioning,
# src/test/resources/azimuth_zenith/spa_reference_testdata.csv), refraction at 1000 hPa and 10 degrees; the last is the
# worked example of NREL/TP-560-34302 (Reda & Andreas 2003, Table A5.1), from memory.
PUBLISHED = [
    ("Auckland, morning", "2010-03-15T21:30", -36.840556, 174.740000, 60.642514, 54.110066),
    ("Auckland, winter noon", "2010-06-15T00:30", -36.840556, 174.740000, 357.723597, 60.142480),
    ("Auckland, summer evening", "2010-12-15T06:30", -36.840556, 174.740000, 249.128890, 78.853100),
    ("Brasilia, noon", "2010-09-15T15:30", -15.793889, -47.882778, 342.396181, 19.555300),
    ("Brasilia, after sunset", "2010-06-15T21:30", -15.793889, -47.882778, 291.552569, 100.186500),
    ("Singapore, morning", "2010-12-15T00:30", 1.283333, 103.833333, 115.389032, 69.810409),
    ("Singapore, afternoon", "2010-03-15T06:30", 1.283333, 103.833333, 259.794538, 19.383306),
    ("Longyearbyen, midnight sun", "2010-06-15T00:30", 78.220000, 15.650000, 21.613694, 77.537134),
    ("Longyearbyen, polar night", "2010-12-15T09:30", 78.220000, 15.650000, 160.680221, 102.192985),
    ("Longyearbyen, low sun", "2010-03-15T09:30", 78.220000, 15.650000, 155.632395, 81.261729),
    ("Golden, worked example", "2003-10-17T19:30:30", 39.742476, -105.1786, 194.34024, 50.11162),
]


def _off(found: Sun, azimuth: float, zenith: float) -> tuple[float, float]:
    """How far the altitude is off, and the azimuth along its own circle, in degrees."""
    around = (found.azimuth_deg - azimuth + 180) % 360 - 180
    return abs(found.altitude_deg - (90 - zenith)), abs(around) * math.sin(math.radians(zenith))


@pytest.mark.parametrize(("at", "latitude", "longitude", "azimuth", "zenith"), [row[1:] for row in PUBLISHED])
def test_by_the_clock(at: str, latitude: float, longitude: float, azimuth: float, zenith: float) -> None:
    found = sun_by_clock(latitude, longitude, datetime.fromisoformat(at))
    assert max(_off(found, azimuth, zenith)) < 0.02


@pytest.mark.parametrize(("at", "latitude", "longitude", "azimuth", "zenith"), [row[1:] for row in PUBLISHED])
def test_by_solar_time(at: str, latitude: float, longitude: float, azimuth: float, zenith: float) -> None:
    """The hour angle follows from the published place itself; no longitude is told, which costs a part of a day."""
    phi, high, round_ = (math.radians(angle) for angle in (latitude, 90 - zenith, azimuth))
    sine, cosine = (
        -math.sin(round_) * math.cos(high),
        math.sin(high) * math.cos(phi) - math.cos(high) * math.cos(round_) * math.sin(phi),
    )
    hour = 12 + math.degrees(math.atan2(sine, cosine)) / 15
    local = datetime.fromisoformat(at).timestamp() + longitude * 240
    found = sun_by_solar_time(latitude, date.fromtimestamp(local), hour)
    assert max(_off(found, azimuth, zenith)) < 0.3


# Declinations at the solstices and equinoxes: 23.44, 0 (any almanac); at solar noon the sun stands in the meridian.
@pytest.mark.parametrize(
    ("latitude", "day", "altitude", "azimuth"),
    [
        (53.4, date(2026, 6, 21), 90 - 53.4 + 23.44, 180),
        (53.4, date(2026, 12, 21), 90 - 53.4 - 23.44, 180),
        (-33.9, date(2026, 6, 21), 90 - 33.9 - 23.44, 0),
        (-33.9, date(2026, 3, 20), 90 - 33.9, 0),
    ],
)
def test_noon_is_when_it_stands_highest(latitude: float, day: date, altitude: float, azimuth: float) -> None:
    noon = sun_by_solar_time(latitude, day, 12.0)
    assert noon.altitude_deg == pytest.approx(altitude, abs=0.1)
    assert abs((noon.azimuth_deg - azimuth + 180) % 360 - 180) < 0.1
    assert noon.altitude_deg > max(sun_by_solar_time(latitude, day, hour).altitude_deg for hour in (11.7, 12.3))


def test_the_poles_have_a_sun_that_goes_round() -> None:
    heights = [sun_by_solar_time(90, date(2026, 6, 21), hour).altitude_deg for hour in (0.0, 6.0, 12.0, 18.0)]
    assert heights == pytest.approx([23.47] * 4, abs=0.1)  # the obliquity, lifted by refraction
    assert sun_by_solar_time(-90, date(2026, 6, 21), 12.0).altitude_deg < -20
