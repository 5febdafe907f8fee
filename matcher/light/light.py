"""A light: what colours are integrated with, and its colour temperature as far as that is known."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np

from matcher.colorimetry.colour_temperature import correlated_kelvin
from matcher.colorimetry.illuminants import daylight, incandescent, tristimulus_weights, weights_of
from matcher.colorimetry.spaces import Floats

# CIE 015:2018 defines daylight from here on. A lower sun's beam is a black body's up to the second; between the two it
# is mixed from both, so that nothing jumps (assumption).
WARMEST_DAYLIGHT_K, _BLACK_BODY_K = 4000.0, 3000.0
# CIE 015:2018: of D65, nominally 6500 K.
D65_K = 6504.0


@dataclass(frozen=True, slots=True, eq=False)
class Light:
    """``weights`` (36, 3) as :func:`matcher.colorimetry.illuminants.weights_of` gives them; ``kelvin`` its correlated
    colour temperature, and between which two it may well lie (``low``, ``high``).
    """

    weights: Floats
    kelvin: float
    low: float
    high: float

    @property
    def white(self) -> Floats:
        """XYZ (3,) of white in this light, Y = 1."""
        return np.asarray(self.weights.sum(axis=0))


def average_daylight() -> Light:
    """Return CIE D65, in which colours are described."""
    return Light(tristimulus_weights("D65"), D65_K, D65_K, D65_K)


@dataclass(frozen=True, slots=True)
class KelvinRange:
    """A colour temperature that is known between two ends; ``middle`` is what is reckoned with."""

    low: float
    middle: float
    high: float


def natural_light(parts: Sequence[tuple[float, KelvinRange]]) -> Light:
    """Return the light of sun and sky, each with what it gives of the illuminance, in any unit."""
    if len(parts) == 1:
        known = parts[0][1]
        return Light(natural_weights(known.middle), known.middle, known.low, known.high)
    total = sum(share for share, _ in parts)
    low, middle, high = (
        sum((share / total * natural_weights(kelvin[place]) for share, kelvin in _columns(parts)), np.zeros((36, 3)))
        for place in range(3)
    )
    return Light(middle, *(correlated_kelvin(one.sum(axis=0)) for one in (middle, low, high)))


@cache
def natural_weights(kelvin: float) -> Floats:
    """Return the weights (36, 3) of daylight, or of a sun so low that CIE defines none."""
    if kelvin >= WARMEST_DAYLIGHT_K:
        return weights_of(daylight(kelvin))
    if kelvin <= _BLACK_BODY_K:
        return weights_of(incandescent(kelvin))
    # By reciprocal temperature, in which equal steps look about equal.
    cool = (1 / _BLACK_BODY_K - 1 / kelvin) / (1 / _BLACK_BODY_K - 1 / WARMEST_DAYLIGHT_K)
    return cool * natural_weights(WARMEST_DAYLIGHT_K) + (1 - cool) * natural_weights(_BLACK_BODY_K)


def _columns(parts: Sequence[tuple[float, KelvinRange]]) -> list[tuple[float, tuple[float, float, float]]]:
    return [(share, (known.low, known.middle, known.high)) for share, known in parts]
