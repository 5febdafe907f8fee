"""Two lights of different colour in one photo: seen by how far the light's colour drifts across single surfaces.

A material does not change its colour from one end to the other, so a steady drift is the light's. One surface may
drift by what bounces onto it; where most do, two lights meet, and between surfaces they mix otherwise still: a surface
without a card of its own is then doubted by as much.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from matcher.colorimetry.spaces import Floats
from matcher.photo.decoded import Finding
from matcher.surfaces import doubt
from matcher.surfaces.reading import SurfaceReading
from matcher.surfaces.surface import Cause, SurfaceColour

_FEWEST = 3  # surfaces to judge by
# Median over a photo's surfaces of the drift of ln(first cone / third cone) across each. On 35 rendered photos and 27
# held out one light left 0.07 at the median and 0.18 at most, two made 0.13 to 0.39.
_BY_BOUNCE, _NOTE, _WARN = 0.10, 0.15, 0.20


def colour_drift(readings: Sequence[SurfaceReading]) -> float:
    """Return the drift of the light's colour across most surfaces of one photo, 0 with too few to tell."""
    return float(np.median([reading.colour_drift for reading in readings])) if len(readings) >= _FEWEST else 0.0


def mixed_light(drift: float) -> tuple[Finding, ...]:
    """Return what is said of a photo whose light drifts so far."""
    if drift < _NOTE:
        return ()
    return (Finding("mixed light", "warn" if drift >= _WARN else "note", (("across", round(drift, 2)),)),)


def with_drift_doubt(readings: Sequence[SurfaceReading], drift: float) -> list[SurfaceReading]:
    """Return the readings of one photo, those by another surface's card in wider doubt by its light's ``drift``."""
    more = drift - _BY_BOUNCE
    if more <= 0:
        return list(readings)
    return [
        reading
        if reading.own_card
        else replace(reading, colours=tuple(_wider(colour, more) for colour in reading.colours))
        for reading in readings
    ]


def _wider(colour: SurfaceColour, sd: float) -> SurfaceColour:
    light = doubt.light_covariances(colour.lab, level_sd=sd, colour_sd=sd * doubt.COLOUR_SHAPE)
    causes: dict[Cause, Floats] = {**colour.causes}
    for cause, more in light.items():
        causes[cause] = causes[cause] + more
    return replace(colour, causes=causes, covariance=colour.covariance + sum(light.values()))
