"""How a paint reflects the light of the room: under a lamp its cone responses are not those under daylight."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

from matcher.calibration.light import Light
from matcher.colorimetry.adaptation import BRADFORD, FROM_BRADFORD, relative_cones
from matcher.colorimetry.curves import curves_of
from matcher.colorimetry.illuminants import tristimulus_weights
from matcher.colorimetry.spaces import Floats, as_floats, lab_to_xyz

# McCamy 1992 (doi 10.1002/col.5080170211): correlated colour temperature from chromaticity.
_MCCAMY_CENTRE = (0.3320, 0.1858)
_MCCAMY = (-449.0, 3525.0, -6823.3, 5520.33)
_MCCAMY_RANGE_K = (1700.0, 25000.0)
# In mired (a million over kelvin), warmer than CIE D65 (6504 K), of a card in the picture. Assumption: a camera's white
# balance leaves no more than the first of daylight indoors, and no less than the second of lamplight, which phones
# leave warm on purpose.
_DAYLIGHT_MIRED = 1e6 / 6504
_MOST_OF_DAYLIGHT, _LEAST_OF_LAMPLIGHT = 20.0, 75.0
_LEAST = 1e-9  # reflectance of what is blacker than black


def colour_temperature(xyz: ArrayLike) -> float:
    """Return the correlated colour temperature in kelvin, held to 1700..25000, of XYZ (3,).

    >>> round(colour_temperature([1.0985, 1.0, 0.3558]))  # CIE A
    2857
    """
    x, y = np.asarray(xyz)[:2] / np.sum(xyz)
    n = (x - _MCCAMY_CENTRE[0]) / (y - _MCCAMY_CENTRE[1])
    return float(np.clip(np.polyval(_MCCAMY, n), *_MCCAMY_RANGE_K))


def lamp_share(lights: Sequence[Light]) -> float:
    """Return how far the light is from daylight to lamplight, 0..1, as its colour in the picture suggests."""
    xyz = np.exp(np.mean([light.cones for light in lights], axis=0)) @ FROM_BRADFORD.T
    shift = 1e6 / colour_temperature(xyz) - _DAYLIGHT_MIRED
    return float(np.clip((shift - _MOST_OF_DAYLIGHT) / (_LEAST_OF_LAMPLIGHT - _MOST_OF_DAYLIGHT), 0.0, 1.0))


def daylight_cones(lab: ArrayLike) -> Floats:
    """Return reflectance (..., 3) in Bradford's cone space under D65, white = 1, of CIELAB (..., 3)."""
    return relative_cones(lab_to_xyz(lab))


def seen_cones(lab: ArrayLike, share: float, reflectance: Floats | None = None) -> Floats:
    """Return reflectance (3,) in Bradford's cone space, white = 1, of CIELAB (3,) in light ``share`` of it lamplight.

    The lamp is CIE A. What it does to the paint is told by its ``reflectance`` (36,), 380 to 730 nm by 10, where that
    was measured, and else by the likeliest for its CIELAB.
    """
    day = daylight_cones(lab)
    if share == 0.0:
        return day
    if reflectance is None:
        reflectance = curves_of(np.reshape(as_floats(lab), (1, 3))).reflectance[0]
    # As a ratio: the curve of a colour that no surface has is a paler one's, and a measured one may miss the published
    # colour a little.
    change = _cones(reflectance, "A") / np.maximum(_cones(reflectance, "D65"), _LEAST)
    mixed: Floats = day * (1 - share + share * change)
    return mixed


def _cones(reflectance: Floats, illuminant: str) -> Floats:
    weights = tristimulus_weights(illuminant)
    return np.asarray((reflectance @ weights @ BRADFORD.T) / (weights.sum(axis=0) @ BRADFORD.T))
