"""How far a litre goes in one coat: as a range, because walls differ and so do hands."""

from __future__ import annotations

import math

from matcher.quantities.quantity import Spreading
from matcher.quantities.units import m2_per_litre

# Published do-it-yourself guidance: a gallon is good for 300 ft2 of rough or bare wall (a handbook for beginners), 350
# of smooth, and 400 at best (an almanac; a household encyclopedia says the same and that makers reckon with 450).
_GUIDANCE_FT2 = (300.0, 400.0)
# The same sources for primer on bare board and plaster, which drink.
_PRIMER_FT2 = (200.0, 300.0)
# Assumption: what a tin states is for a smooth, sealed surface, and a papered or textured one takes a sixth more.
_SHORT_OF_STATED = 0.85

PRIMER = Spreading(m2_per_litre(_PRIMER_FT2[0]), m2_per_litre(_PRIMER_FT2[1]), "guidance")


def spreading_of(coverage: float | None) -> Spreading:
    """Return the range of a paint; ``coverage`` is what its deck states, None or NaN where it is silent.

    >>> spreading_of(12.0)
    Spreading(low=10.2, high=12.0, source='deck')
    """
    if coverage is None or math.isnan(coverage):
        return Spreading(m2_per_litre(_GUIDANCE_FT2[0]), m2_per_litre(_GUIDANCE_FT2[1]), "guidance")
    return Spreading(round(_SHORT_OF_STATED * coverage, 6), coverage, "deck")
