"""Colourfulness by CIECAM02 (CIE 159:2004): the same paint has less of its colour in a dim room (the Hunt effect)."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from matcher.colorimetry.adaptation import CAT02, HUNT_POINTER_ESTEVEZ, adapt
from matcher.colorimetry.spaces import WHITE_D65, Floats, as_floats

# CIE 159:2004, average surround: F is not needed (D = 1), Nc is 1, c as there; the background's relative luminance is a
# fifth of white's.
_C, _BACKGROUND = 0.69, 0.2
# The model's own adapted white: equal energy.
_EQUAL_ENERGY = np.ones(3)


def colourfulness(xyz: ArrayLike, luminance: float, white: ArrayLike = WHITE_D65) -> Floats:
    """Return M of CIECAM02, (...), of colours (..., 3), Y = 1, at an adapting luminance in cd/m2, average surround.

    ``white`` (3,) is the light's. The eye is taken as adapted to it (D = 1), so that greys have none.
    """
    light = as_floats(white)
    k4 = (1 / (5 * luminance + 1)) ** 4
    level = 0.2 * k4 * 5 * luminance + 0.1 * (1 - k4) ** 2 * (5 * luminance) ** (1 / 3)
    induction = 0.725 * (1 / _BACKGROUND) ** 0.2
    red, green, blue = np.moveaxis(_response(as_floats(xyz), light, level), -1, 0)
    a, b = red - 12 * green / 11 + blue / 11, (red + green - 2 * blue) / 9
    hue = np.arctan2(b, a)
    eccentricity = (np.cos(hue + 2) + 3.8) / 4
    t = 50000 / 13 * induction * eccentricity * np.hypot(a, b) / (red + green + 21 * blue / 20)
    brightness = _achromatic(red, green, blue) / _achromatic(*_response(light, light, level))
    lightness = brightness ** (_C * (1.48 + np.sqrt(_BACKGROUND)))
    chroma = t**0.9 * np.sqrt(lightness) * (1.64 - 0.29**_BACKGROUND) ** 0.73
    return np.asarray(chroma * level**0.25)


def _response(xyz: Floats, white: Floats, level: float) -> Floats:
    """Return the cones' compressed responses (..., 3) to colours seen in a light that the eye is adapted to."""
    cones = adapt(xyz, white, _EQUAL_ENERGY, CAT02) @ HUNT_POINTER_ESTEVEZ.T
    drive = (level * np.abs(cones)) ** 0.42
    return np.asarray(400 * np.sign(cones) * drive / (drive + 27.13) + 0.1)


def _achromatic(red: Floats, green: Floats, blue: Floats) -> Floats:
    """Return the achromatic response but for a factor, which goes out against white's."""
    return np.asarray(2 * red + green + blue / 20 - 0.305)
