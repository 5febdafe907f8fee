"""Metres and litres, and what the United States measure in instead.

The foot and the US gallon are exact (NIST Handbook 44, Appendix C): 0.3048 m and 231 cubic inches.
"""

from __future__ import annotations

from typing import Literal

METRES_PER_FOOT = 0.3048
M2_PER_FT2 = METRES_PER_FOOT**2
MICROMETRES_PER_MIL = 25.4
LITRES_PER_GALLON = 231 * 0.0254**3 * 1000
LITRES_PER_QUART = LITRES_PER_GALLON / 4

System = Literal["metric", "US"]


def m2_per_litre(ft2_per_gallon: float) -> float:
    """Return a spreading rate in square metres a litre.

    >>> round(m2_per_litre(407), 2)
    9.99
    """
    return ft2_per_gallon * M2_PER_FT2 / LITRES_PER_GALLON


def ft2_per_gallon(rate: float) -> float:
    """Return a spreading rate of square metres a litre in square feet a US gallon."""
    return rate * LITRES_PER_GALLON / M2_PER_FT2


def system_of(country: str | None, units: str | None) -> System:
    """Return what a room is counted in: by its country, and by the units of its sizes where that is not said."""
    return "US" if country == "US" or (country is None and units == "feet") else "metric"
