"""A film of paint: how thick it lies wet and dry, and how far a litre goes.

A litre over ten square metres lies 100 um thick, and what is not solid leaves it: UFC 3-190-06 (MIL-HDBK-1110),
section 2.1.5, for the same in mils, gallons and square feet. Thickness in um, spreading rates in m2 a litre, volume
solids 0..1.
"""

from __future__ import annotations

# One litre of 100 % solids covers 1000 m2 at 1 um: 0.001 m3 over 0.000001 m.
_M2_UM_PER_LITRE = 1000.0


def wet_film(rate: float) -> float:
    """Return the thickness of the wet film at a spreading rate."""
    return _M2_UM_PER_LITRE / rate


def dry_film(wet: float, solids: float) -> float:
    """Return the thickness that a wet film of these volume solids dries to."""
    return wet * solids


def spreading_rate(dry: float, solids: float) -> float:
    """Return how far a litre goes at a dry film thickness.

    >>> spreading_rate(50.0, 0.4)
    8.0
    """
    return _M2_UM_PER_LITRE * solids / dry
