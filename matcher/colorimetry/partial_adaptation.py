"""How far the eye gets used to a light, and how colours look when it has not got used to it wholly.

For naming undertones the eye is taken as fully adapted (matcher/colorimetry/adaptation.py says why); how a room looks
by its lamps is another question, and there the light's own tint stays in part.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from matcher.colorimetry.adaptation import CAT16
from matcher.colorimetry.spaces import WHITE_D65, Floats, as_floats

# CIE 159:2004: the background is a fifth as bright as white; a white wall reflects about this much (assumption).
_BACKGROUND, _WHITE_WALL = 0.2, 0.8


def adapting_luminance(lux: ArrayLike) -> Floats:
    """Return the luminance the eye adapts to, cd/m2, in a room with that illuminance in lux.

    >>> round(float(adapting_luminance(100)), 1)
    5.1
    """
    return np.asarray(_BACKGROUND * _WHITE_WALL * as_floats(lux) / np.pi)


def degree_of_adaptation(luminance: ArrayLike) -> Floats:
    """Return D, 0..1, of CIECAM02 and CIECAM16 (CIE 248:2022): how far the eye adapts at that luminance, cd/m2.

    F, which it grows with, is 1 for the average surround of a room.

    >>> [round(float(part), 4) for part in degree_of_adaptation([4, 64, 318])]
    [0.8315, 0.9122, 0.9945]
    """
    return np.asarray(1 - np.exp((-as_floats(luminance) - 42) / 92) / 3.6)


def adapt_in_part(xyz: ArrayLike, white: ArrayLike, degree: ArrayLike) -> Floats:
    """Return XYZ under D65 of how colours (..., 3) under a light with that white look (CAT16; Li et al. 2017).

    ``white`` (..., 3), Y = 1, and ``degree`` (...), 0..1, broadcast with the colours; at 1 white looks white, at 0 the
    light's tint stays as it is.
    """
    cones, light = as_floats(xyz) @ CAT16.T, as_floats(white) @ CAT16.T
    share = as_floats(degree)[..., None]
    return np.asarray(cones * (share * (CAT16 @ WHITE_D65) / light + 1 - share) @ np.linalg.inv(CAT16).T)
