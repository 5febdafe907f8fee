"""The hours of a day: kinds of light, both hemispheres, polar day and night, and what is assumed."""

from __future__ import annotations

from datetime import date

import pytest

from matcher.errors import RequestError
from matcher.light.day import AWAKE, EQUINOX, HOURS, RoomDay, Situation, room_day


def _kinds(day: RoomDay) -> list[str]:
    return [hour.kind for hour in day.hours]


def _sunny(day: RoomDay) -> list[float]:
    return [hour.hour for hour in day.hours if hour.on_window]


def test_an_east_room_has_the_sun_in_the_morning_and_a_west_room_after_noon() -> None:
    east, west = (room_day(Situation(53.4, facing, EQUINOX, 2700)) for facing in ("E", "W"))
    assert _sunny(east) == [6, 7, 8, 9, 10, 11]
    assert set(_sunny(west)) >= {13, 14, 15, 16, 17}
    assert min(_sunny(west)) > 11
    assert {hour.kind for hour in east.hours if hour.on_window} == {"sun and sky"}
    assert {hour.kind for hour in east.hours if hour.hour > 19} == {"lamps"}


def test_the_north_window_is_the_sunny_one_south_of_the_equator() -> None:
    assert 12 in _sunny(room_day(Situation(-33.9, "N", date(2026, 6, 21))))
    assert 12 not in _sunny(room_day(Situation(-33.9, "S", date(2026, 6, 21))))
    assert 12 not in _sunny(room_day(Situation(51.5, "N", date(2026, 6, 21))))


def test_a_north_room_is_dimmer_and_bluer_than_a_south_room_at_noon() -> None:
    north, south = (room_day(Situation(53.4, facing, EQUINOX)).hours[12].inside for facing in ("N", "S"))
    assert north.light.kelvin > 7000 > 6500 > south.light.kelvin > 5000
    assert north.level < 0.5 < south.level == 1
    assert north.adaptation < south.adaptation <= 1


def test_under_a_grey_sky_no_sun_falls_in_and_the_side_makes_no_difference() -> None:
    north, south = (room_day(Situation(53.4, facing, EQUINOX, overcast=True)) for facing in ("N", "S"))
    assert _sunny(south) == []
    assert [hour.inside.lux for hour in north.hours] == [hour.inside.lux for hour in south.hours]
    assert (south.hours[12].inside.light.low, south.hours[12].inside.light.high) == (6000, 7500)


def test_polar_night_has_lamps_at_noon_and_polar_day_has_none_at_midnight() -> None:
    night, day = (room_day(Situation(78.2, "S", at, 3000)) for at in (date(2026, 12, 21), date(2026, 6, 21)))
    assert set(_kinds(night)) == {"lamps"}
    assert night.brightest.hour == 12
    assert "lamps" not in _kinds(day)
    assert day.hours[0].sun.altitude_deg > 10


def test_dusk_is_told_where_the_sun_is_just_gone() -> None:
    kinds = _kinds(room_day(Situation(53.4, "W", date(2026, 6, 21), 2700)))
    assert {"sky", "sun and sky", "dusk", "lamps"} >= set(kinds)
    assert "dusk" in kinds


def test_what_nobody_said_is_assumed_and_told() -> None:
    nothing = room_day(Situation())
    assert nothing.assumed == ("latitude", "facing", "date", "lamps_k")
    assert (nothing.latitude, nothing.day, nothing.lamps_k, nothing.overcast) == (50, EQUINOX, 2700, True)
    assert room_day(Situation(10, "S", date(2026, 1, 1), 3000)).assumed == ()


def test_the_rooms_own_lamp_comes_first_and_none_twice() -> None:
    lamps = [(one.kind, one.kelvin) for one in room_day(Situation(lamps_k=2700)).lamps]
    assert lamps[0] == ("LED", 2700)
    assert len(set(lamps)) == len(lamps) >= 4


@pytest.mark.parametrize(
    "situation",
    [
        Situation(90.5, "N"), Situation(-91, "N"), Situation(float("nan"), "N"),
        Situation(50, "nowhere"), Situation(lamps_k=900), Situation(lamps_k=40_000),
    ],
)  # fmt: skip
def test_what_no_room_has_is_refused(situation: Situation) -> None:
    with pytest.raises(RequestError):
        room_day(situation)


@pytest.mark.parametrize("latitude", [90.0, -90.0, 0.0, 66.6])
@pytest.mark.parametrize("day", [date(2026, 3, 20), date(2024, 2, 29), date(1950, 12, 31)])
def test_every_latitude_and_day_works(latitude: float, day: date) -> None:
    found = room_day(Situation(latitude, "NE", day, 1500))
    assert len(found.hours) == len(HOURS) == 24
    assert all(0 <= hour.inside.level <= 1 and 0.8 < hour.inside.adaptation <= 1 for hour in found.hours)
    assert AWAKE[0] < AWAKE[1]
