"""Lamps by kind and kelvin: LED, incandescent, fluorescent.

LED and fluorescent light is mixed from the two CIE illuminants on either side (CIE 015:2018: LED-B1 to B5, blue chips
with a phosphor; FL12, FL11, FL10, three-band tubes, and broad-band FL7), in proportion to where the reciprocal of the
temperature lies between theirs. An incandescent lamp is a black body (Planck). Lamps of poor colour rendering are not
modelled.
"""

from __future__ import annotations

from functools import cache
from typing import Literal

import numpy as np

from matcher.colorimetry.colour_temperature import correlated_kelvin
from matcher.colorimetry.illuminants import daylight, incandescent, tristimulus_weights, weights_of
from matcher.colorimetry.spaces import Floats
from matcher.errors import Problem, RequestError
from matcher.light.light import WARMEST_DAYLIGHT_K, Light

LampKind = Literal["LED", "incandescent", "fluorescent"]

# CIE's correlated colour temperatures of the series, kelvin (CIE 015:2018 Tables 10 and 12).
_LED = ((2733.0, "LED-B1"), (2998.0, "LED-B2"), (4103.0, "LED-B3"), (5109.0, "LED-B4"), (6598.0, "LED-B5"))
_TUBES = ((3000.0, "FL12"), (4000.0, "FL11"), (5000.0, "FL10"), (6500.0, "FL7"))
# Within these a lamp of the kind is sold for rooms (assumption); beyond the CIE series the nearest LED's spectrum is
# bent as daylight or a black body bends between the two temperatures (assumption).
RANGE_K: dict[LampKind, tuple[float, float]] = {
    "LED": (1500.0, 10000.0),
    "incandescent": (1500.0, 3400.0),
    "fluorescent": (2900.0, 6600.0),
}
# Rounds in which the bend is made as strong as the temperature asks for: a hundredth of it is left after these.
_BENDS = 4
# ANSI C78.377 lets a lamp sold as 2700 K have 2580 to 2870, one as 4000 K 3710 to 4260: about so much either way.
_SOLD_AS = 0.06
# Home lighting in the evening, lux (assumption: 100 to 200 in living rooms).
LAMP_LUX = 150.0


@cache
def lamp(kind: LampKind, kelvin: float) -> Light:
    """Return the light of a lamp; raises ``RequestError`` where no lamp of that kind has that colour temperature."""
    low, high = RANGE_K[kind]
    # Comparisons with NaN are false, so NaN is refused too.
    if not low <= kelvin <= high:
        what = f"{kelvin:g} K is no {kind} lamp for a room"
        raise RequestError(Problem("lamps_k", what, f"They go from {low:g} to {high:g} K."))
    weights = weights_of(incandescent(kelvin)) if kind == "incandescent" else _from_series(kind, kelvin)
    found = correlated_kelvin(weights.sum(axis=0))
    return Light(weights, found, found * (1 - _SOLD_AS), found * (1 + _SOLD_AS))


def _from_series(kind: LampKind, kelvin: float) -> Floats:
    series = _LED if kind == "LED" else _TUBES
    known = np.array([at for at, _ in series])
    inside = float(np.clip(kelvin, known[0], known[-1]))
    above = int(np.clip(np.searchsorted(known, inside), 1, len(series) - 1))
    (warm_k, warm), (cool_k, cool) = series[above - 1], series[above]
    share = (1 / warm_k - 1 / inside) / (1 / warm_k - 1 / cool_k)
    mixed = (1 - share) * tristimulus_weights(warm) + share * tristimulus_weights(cool)
    if inside == kelvin:
        return np.asarray(mixed)
    bend, strength = (_natural(kelvin) / _natural(inside))[:, None], 1.0
    bent = mixed * bend
    for _ in range(_BENDS):
        # By reciprocal temperature, in which bending is nearly even.
        reached = 1 / correlated_kelvin(bent.sum(axis=0)) - 1 / inside
        strength *= (1 / kelvin - 1 / inside) / reached
        bent = mixed * bend**strength
    return np.asarray(bent / bent[:, 1].sum())


def _natural(kelvin: float) -> Floats:
    return daylight(kelvin) if kelvin > WARMEST_DAYLIGHT_K else incandescent(kelvin)
