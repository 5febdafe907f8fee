"""The hours of a day in a room: where the sun stands, what light comes in and how much, when the lamps are on."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from typing import Literal

from matcher.colorimetry.partial_adaptation import adapting_luminance, degree_of_adaptation
from matcher.errors import Problem, RequestError
from matcher.light.lamps import LAMP_LUX, LampKind, lamp
from matcher.light.light import Light, natural_light
from matcher.light.situation import Situation as Situation
from matcher.light.sky import SUNRISE_DEG, TWILIGHT_DEG, sky_seen, sun_beam
from matcher.light.sun import Sun, sun_by_solar_time
from matcher.light.window import COMPASS, level, room_lux, sky_lux, sun_lux

LightKind = Literal["sky", "sun and sky", "dusk", "lamps"]
Assumed = Literal["latitude", "facing", "date", "lamps_k"]

HOURS = tuple(float(hour) for hour in range(24))
# Assumption: hours of local solar time in which a room is lived in.
AWAKE = (6.0, 22.0)

# What is taken where the room says nothing: a latitude between the tropics and the polar circle, the day on which every
# place has twelve hours of sun (the equinox of March 2026), the lamps most homes have.
USUAL_LATITUDE, EQUINOX, USUAL_LAMPS_K = 50.0, date(2026, 3, 20), 2700.0
# Lamps shown beside the room's own: what else hangs in homes.
_OTHER_LAMPS: tuple[tuple[LampKind, float], ...] = (
    ("LED", 2700.0), ("LED", 4000.0), ("incandescent", 2700.0), ("fluorescent", 4000.0),
)  # fmt: skip


@dataclass(frozen=True, slots=True, eq=False)
class InLight:
    """A light with how much of it there is in the room: ``lux``, the ``level`` 0..1, and ``adaptation`` D 0..1."""

    light: Light
    lux: float
    level: float
    adaptation: float


@dataclass(frozen=True, slots=True, eq=False)
class Hour:
    """One ``hour`` of local solar time; ``on_window``: the sun shines on it."""

    hour: float
    sun: Sun
    on_window: bool
    kind: LightKind
    inside: InLight


@dataclass(frozen=True, slots=True, eq=False)
class Lamp:
    """A lamp for the evening, ``kelvin`` as it is sold."""

    kind: LampKind
    kelvin: float
    inside: InLight


@dataclass(frozen=True, slots=True, eq=False)
class RoomDay:
    """A day in a room, ``assumed`` what it did not say itself. ``overcast`` is so too where nobody says which way the
    window looks: a grey sky is the same on all sides.
    """

    latitude: float
    facing: str | None
    day: date
    lamps_k: float
    overcast: bool
    assumed: tuple[Assumed, ...]
    hours: tuple[Hour, ...]
    lamps: tuple[Lamp, ...]

    @property
    def brightest(self) -> Hour:
        """The hour with most daylight; where the sun does not come up at all, noon."""
        return max(self.hours, key=lambda hour: (hour.kind != "lamps", hour.inside.lux, -abs(hour.hour - 12)))


@lru_cache(maxsize=64)
def room_day(situation: Situation) -> RoomDay:
    """Return the day of a room.

    Raises ``RequestError`` for a latitude past the pole, a compass point that is none and lamps of no room.
    """
    _refuse_impossible(situation)
    said: dict[Assumed, object] = {
        "latitude": situation.latitude,
        "facing": situation.facing,
        "date": situation.day,
        "lamps_k": situation.lamps_k,
    }
    assumed = tuple(key for key, value in said.items() if value is None)
    latitude = USUAL_LATITUDE if situation.latitude is None else situation.latitude
    day = situation.day or EQUINOX
    lamps_k = USUAL_LAMPS_K if situation.lamps_k is None else situation.lamps_k
    overcast = situation.overcast or situation.facing is None
    own = _inside(lamp("LED", lamps_k), LAMP_LUX)
    others = dict.fromkeys((("LED", lamps_k), *_OTHER_LAMPS))
    return RoomDay(
        latitude=latitude,
        facing=situation.facing,
        day=day,
        lamps_k=lamps_k,
        overcast=overcast,
        assumed=assumed,
        hours=tuple(
            _hour(hour, sun_by_solar_time(latitude, day, hour), situation.facing, day, overcast=overcast, lamps=own)
            for hour in HOURS
        ),
        lamps=tuple(Lamp(kind, kelvin, _inside(lamp(kind, kelvin), LAMP_LUX)) for kind, kelvin in others),
    )


def _hour(hour: float, sun: Sun, facing: str | None, day: date, *, overcast: bool, lamps: InLight) -> Hour:
    if sun.altitude_deg < TWILIGHT_DEG:
        return Hour(hour, sun, False, "lamps", lamps)
    beam = 0.0 if overcast or facing is None else sun_lux(sun, facing, day)
    sky = sky_lux(sun, facing, overcast=overcast)
    parts = [(sky, sky_seen(sun.altitude_deg, overcast=overcast)), (beam, sun_beam(sun.altitude_deg))]
    kind: LightKind = "dusk" if sun.altitude_deg < SUNRISE_DEG else "sun and sky" if beam > 0 else "sky"
    light = natural_light([part for part in parts if part[0] > 0])
    return Hour(hour, sun, beam > 0, kind, _inside(light, room_lux(sky + beam)))


def _inside(light: Light, lux: float) -> InLight:
    return InLight(light, lux, level(lux), float(degree_of_adaptation(adapting_luminance(lux))))


def _refuse_impossible(situation: Situation) -> None:
    latitude, facing = situation.latitude, situation.facing
    # Comparisons with NaN are false, so NaN is refused too.
    if latitude is not None and not -90 <= latitude <= 90:
        raise RequestError(Problem("latitude", f"{latitude:g} is not between -90 and 90", "South is negative."))
    if facing is not None and facing not in COMPASS:
        raise RequestError(Problem("facing", f"{facing!r} is no compass point", f"Use one of: {', '.join(COMPASS)}."))
