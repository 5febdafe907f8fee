"""Areas, paint and tins as a painter reads them, in metric or in US measures."""

from __future__ import annotations

from collections.abc import Sequence

from matcher.quantities.quantity import Range, Tins
from matcher.quantities.units import LITRES_PER_GALLON, LITRES_PER_QUART, M2_PER_FT2, System, ft2_per_gallon

_NARROW = "\N{NARROW NO-BREAK SPACE}"
_TIMES = f"{_NARROW}\N{MULTIPLICATION SIGN}{_NARROW}"
# What a tin of the trade may be off its nominal size and still be called by it (assumption): a "gallon" of 3.78 L.
_SAME_TIN = 0.01
# Fluid gallons and quarts that tins are called by, largest first.
_US_TINS = ((5 * LITRES_PER_GALLON, "5 gal"), (LITRES_PER_GALLON, "1 gal"), (LITRES_PER_QUART, "1 qt"))


def area_text(m2: float, system: System) -> str:
    """Return an area.

    >>> area_text(30.54, "metric"), area_text(30.54, "US")
    ('30.5 m²', '329 ft²')
    """
    return f"{m2:.1f} m²" if system == "metric" else f"{m2 / M2_PER_FT2:.0f} ft²"


def paint_text(litres: Range, system: System) -> str:
    """Return a range of paint in litres, or in US gallons where that is shorter than quarts.

    >>> paint_text((4.23, 5.61), "metric"), paint_text((4.23, 5.61), "US"), paint_text((0.3, 0.5), "US")
    ('4.2 to 5.6 L', '1.1 to 1.5 gal', '0.3 to 0.5 qt')
    """
    unit, size = ("L", 1.0)
    if system == "US":
        unit, size = ("gal", LITRES_PER_GALLON) if litres[1] >= LITRES_PER_GALLON else ("qt", LITRES_PER_QUART)
    low, high = (f"{amount / size:.1f}" for amount in litres)
    return f"{high} {unit}" if low == high else f"{low} to {high} {unit}"


def rate_text(rates: Range, system: System) -> str:
    """Return a range of spreading rates given in m2 a litre."""
    if system == "US":
        low, high = (f"{ft2_per_gallon(rate):.0f}" for rate in rates)
        return f"{low} to {high} ft² a gallon" if low != high else f"{high} ft² a gallon"
    low, high = (f"{rate:.1f}" for rate in rates)
    return f"{low} to {high} m² a litre" if low != high else f"{high} m² a litre"


def tins_text(tins: Sequence[Tins], system: System) -> str:
    """Return tins as they are ordered.

    >>> tins_text([Tins(2.5, 1), Tins(1.0, 2)], "metric").replace(_TIMES, " x ")
    '1 x 2.5 L + 2 x 1 L'
    """
    return " + ".join(f"{tin.count}{_TIMES}{_tin_text(tin.litres, system)}" for tin in tins)


def _tin_text(litres: float, system: System) -> str:
    if system == "US":
        for size, called in _US_TINS:
            if abs(litres - size) <= _SAME_TIN * size:
                return called
    return f"{litres:g} L"
