"""Curves given as points, and the nearest curve of the project's family to them."""

from __future__ import annotations

import numpy as np
from scipy.optimize import least_squares

from matcher.calibration.tone_curve import TONES, linear_table
from matcher.colorimetry.spaces import Floats
from matcher.photo.colour_space import srgb

# File values that are compared: below, cameras differ by their black; above, by where they clip.
_FROM, _TO, _STEPS = 0.06, 0.97, 256


def rises(response: Floats) -> bool:
    """Tell whether a response rises where it is compared."""
    inside = (response > _FROM) & (response < _TO)
    return bool((np.diff(response[inside]) > 0).all())


def nearest_strengths(irradiance: Floats, response: Floats) -> tuple[Floats, Floats]:
    """Return the strengths (5,) of the nearest curve and what it misses at even file values, as logarithms of light.

    The level of light is free, as it is wherever a card tells it.
    """
    values = np.linspace(0, 1, _STEPS)
    compared = (values > max(_FROM, float(response[irradiance > 0].min()))) & (values < min(_TO, float(response.max())))
    rising = np.maximum.accumulate(response)
    true = np.log(np.interp(values[compared], rising, irradiance))

    def missed(strength: Floats) -> Floats:
        off = np.log(linear_table(strength, srgb(), _STEPS)[compared]) - true
        return np.asarray(off - off.mean())

    found = least_squares(missed, np.zeros(len(TONES))).x
    return found, missed(found)
