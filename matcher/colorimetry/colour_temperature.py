"""Correlated colour temperature of a light."""

from __future__ import annotations

from numpy.typing import ArrayLike

from matcher.colorimetry.colour_library import colour_library
from matcher.colorimetry.spaces import as_floats


def correlated_kelvin(white: ArrayLike) -> float:
    """Return the correlated colour temperature, kelvin, of a light with that white, XYZ (3,) (Ohno 2013).

    >>> round(correlated_kelvin([1.0985, 1.0, 0.35585]))
    2856
    """
    x, y, z = (float(part) for part in as_floats(white))
    total = x + 15 * y + 3 * z
    # CIE 1960 u, v.
    found = colour_library().temperature.uv_to_CCT_Ohno2013([4 * x / total, 6 * y / total])
    return float(found[0])
