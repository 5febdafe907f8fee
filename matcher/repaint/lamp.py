"""How a paint reflects the light of the room: under a lamp its cone responses are not those under daylight."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

from matcher.calibration.light import Light
from matcher.colorimetry.adaptation import BRADFORD
from matcher.colorimetry.illuminants import tristimulus_weights
from matcher.colorimetry.recovery import recover_reflectance
from matcher.colorimetry.spaces import WHITE_D65, Floats, as_floats, lab_to_xyz

# McCamy 1992 (doi 10.1002/col.5080170211): correlated colour temperature from chromaticity.
_MCCAMY_CENTRE = (0.3320, 0.1858)
_MCCAMY = (-449.0, 3525.0, -6823.3, 5520.33)
_MCCAMY_RANGE_K = (1700.0, 25000.0)
# In mired (a million over kelvin): CIE D65 (6504 K) and CIE illuminant A (2856 K).
_DAYLIGHT_MIRED, _LAMP_MIRED = 1e6 / 6504, 1e6 / 2856
# Assumption: the camera's own white balance has taken out about three fifths of a lamp's colour before the card shows
# the rest; phones leave lamplight warm on purpose.
_LEFT_IN_PICTURE = 0.4
# Below this share of lamplight the difference is beyond notice.
_NO_LAMP = 0.08


def lamp_share(lights: Sequence[Light]) -> float:
    """Return how far the light is from daylight to lamplight, 0..1, as its colour in the picture suggests."""
    xyz = np.exp(np.mean([light.cones for light in lights], axis=0)) @ np.linalg.inv(BRADFORD).T
    x, y = xyz[:2] / xyz.sum()
    n = (x - _MCCAMY_CENTRE[0]) / (_MCCAMY_CENTRE[1] - y)
    kelvin = np.clip(np.polyval(_MCCAMY, -n), *_MCCAMY_RANGE_K)
    shift = (1e6 / kelvin - _DAYLIGHT_MIRED) / _LEFT_IN_PICTURE
    share = float(np.clip(shift / (_LAMP_MIRED - _DAYLIGHT_MIRED), 0.0, 1.0))
    return share if share > _NO_LAMP else 0.0


def daylight_cones(lab: ArrayLike) -> Floats:
    """Return reflectance (..., 3) in Bradford's cone space under D65, white = 1, of CIELAB (..., 3)."""
    cones: Floats = lab_to_xyz(lab) @ BRADFORD.T / (BRADFORD @ WHITE_D65)
    return cones


def seen_cones(lab: ArrayLike, share: float) -> Floats:
    """Return reflectance (3,) in Bradford's cone space, white = 1, of CIELAB (3,) in light ``share`` of it lamplight.

    The lamp is CIE A, and the paint's reflectance the smoothest of its CIELAB.
    """
    day = daylight_cones(lab)
    if share == 0.0:
        return day
    weights = tristimulus_weights("A")
    reflectance = recover_reflectance(np.reshape(as_floats(lab), (1, 3)))[0]
    lamp = (reflectance @ weights @ BRADFORD.T) / (weights.sum(axis=0) @ BRADFORD.T)
    mixed: Floats = (1 - share) * day + share * lamp
    return mixed
