"""Which light the room gets, and what it does to a paint: how well it keeps its character through the day, which is
reckoned (matcher/light), and what practice makes of warm and cool, light and dark in it, which is not.

Full-scale painted rooms (Harleman 2007, J. Int. Colour Assoc.; KTH thesis): on the side away from the sun colours
shift towards bluish red, on the sun side towards yellow. Lamps of 2700 K warm everything that daylight left cool. How
much this costs a paint is an assumption (matcher/ranking/weights.py).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.harmony.ramp import smoothstep
from matcher.light.day import USUAL_LATITUDE, room_day
from matcher.light.look import kept_through
from matcher.light.situation import Situation
from matcher.light.window import facing_deg
from matcher.ranking import weights
from matcher.ranking.paint_columns import Paints

FloatArray = NDArray[np.floating[Any]]

# Assumption: within the tropics (23.4 degrees) the sun stands on both sides in the year, so facing says less.
_TROPIC_DEG = 23.4
# Assumption: lamps between these colour temperatures are taken as neither warm nor cool; ANSI C78.377 names 2700 to
# 6500 K.
_WARM_LAMP_K = (4000.0, 2700.0)
_COOL_LAMP_K = (4500.0, 6500.0)
_YELLOW_CHROMA = (8.0, 24.0)


@dataclass(frozen=True, slots=True)
class RoomLight:
    """``away_from_sun`` from -1 (full sun) to +1 (none); ``warm_lamp`` and ``cool_lamp`` 0..1; 0 where unknown."""

    away_from_sun: float
    warm_lamp: float
    cool_lamp: float


def room_light(facing: str | None, latitude: float | None, lamps_k: float | None) -> RoomLight:
    """Read the room's facts. Without a latitude the room is taken to lie north of the tropics.

    Raises ValueError for a compass point that is none of N NE E SE S SW W NW.
    """
    away = 0.0
    if facing is not None:
        away = math.cos(math.radians(facing_deg(facing)))
        degrees = USUAL_LATITUDE if latitude is None else latitude
        away *= max(-1.0, min(1.0, degrees / _TROPIC_DEG))
    warm = cool = 0.0
    if lamps_k is not None:
        warm, cool = float(smoothstep(lamps_k, *_WARM_LAMP_K)), float(smoothstep(lamps_k, *_COOL_LAMP_K))
    return RoomLight(0.0 if abs(away) < 1e-9 else away, warm, cool)


def away_from_sun(facing: str | None, latitude: float | None) -> float | None:
    """Return how little sun a room gets, -1 (full sun) to +1 (none), None where its window is not known.

    >>> away_from_sun("N", 55.9), away_from_sun("N", -33.9), away_from_sun(None, 55.9)
    (1.0, -1.0, None)
    """
    return None if facing is None else room_light(facing, latitude, None).away_from_sun


def keeps_in(situation: Situation, paints: Paints) -> FloatArray:
    """Return (N,), 0..1, how well paints keep their character through the room's day; 1 where nothing is known of it.

    By day where it is known which way the window looks or what the lamps are, by the lamps where those are known.
    What bounces off the walls is left out: it is the same light all day.
    """
    if situation.facing is None and situation.lamps_k is None:
        return np.ones(len(paints.lrv))
    day = room_day(situation)
    return kept_through(day, paints.curves(), by_lamps=situation.lamps_k is not None)


@dataclass(frozen=True, slots=True, eq=False)
class LightCost:
    """What each effect takes off the light term, (N,) each, 0..1; a field is one thing that can be said about it."""

    cold: FloatArray
    dull: FloatArray
    hot: FloatArray
    glare: FloatArray
    lamp_yellow: FloatArray
    lamp_cold: FloatArray

    def take(self, rows: NDArray[np.intp]) -> LightCost:
        """The same for some of the paints."""
        return LightCost(
            self.cold[rows], self.dull[rows], self.hot[rows],
            self.glare[rows], self.lamp_yellow[rows], self.lamp_cold[rows],
        )  # fmt: skip

    def term(self) -> FloatArray:
        """1 minus all costs, not below 0."""
        total = self.cold + self.dull + self.hot + self.glare + self.lamp_yellow + self.lamp_cold
        return np.asarray(np.maximum(1 - total, 0))


def light_cost(light: RoomLight, lab: FloatArray, lrv: FloatArray, warmth: FloatArray, *, large: bool) -> LightCost:
    """Costs for (N, 3) paints; ``large`` (walls, ceiling) also asks whether the LRV suits the room's light."""
    away, sunny = max(light.away_from_sun, 0.0), max(-light.away_from_sun, 0.0)
    chroma = np.hypot(lab[:, 1], lab[:, 2])
    strong = smoothstep(chroma, *_YELLOW_CHROMA)
    cool, warm = np.maximum(-warmth, 0), np.maximum(warmth, 0)
    area = 1.0 if large else 0.0
    return LightCost(
        cold=away * weights.COLD_IN_NORTH * cool,
        dull=away * weights.DULL_IN_NORTH * area * smoothstep(lrv, *weights.DULL_LRV),
        hot=sunny * weights.HOT_IN_SUN * warm * strong,
        glare=sunny * weights.GLARE_IN_SUN * area * smoothstep(lrv, *weights.GLARE_LRV),
        lamp_yellow=light.warm_lamp * weights.YELLOW_UNDER_WARM_LAMP * warm * strong,
        lamp_cold=light.cool_lamp * weights.COLD_UNDER_COOL_LAMP * cool,
    )
