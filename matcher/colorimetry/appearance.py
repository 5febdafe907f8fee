"""Colourfulness by CIECAM02 (CIE 159:2004): the same paint has less of its colour in a dim room (the Hunt effect)."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from matcher.colorimetry.colour_library import colour_library
from matcher.colorimetry.spaces import WHITE_D65, Floats, as_floats

# CIE 159:2004: relative luminance of the background, a fifth of white's.
_BACKGROUND = 20.0


def colourfulness(xyz: ArrayLike, luminance: float, white: ArrayLike = WHITE_D65) -> Floats:
    """Return M of CIECAM02, (...), of colours (..., 3), Y = 1, at an adapting luminance in cd/m2, average surround.

    ``white`` (3,) is the light's. The eye is taken as adapted to it (D = 1), so that greys have none.
    """
    found = colour_library().XYZ_to_CIECAM02(
        100 * as_floats(xyz), 100 * as_floats(white), luminance, _BACKGROUND, discount_illuminant=True
    )
    return np.asarray(found.M)
