"""Which paints of a deck a person wants to see: by lightness, by the way they lean, by warmth."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from matcher.harmony.undertone import families
from matcher.harmony.warmth import warmth
from matcher.paints.deck import Deck

# Assumption, as in the words of a result: a tenth of the scale is neither warm nor cool.
_NEITHER = 0.1


@dataclass(frozen=True, slots=True)
class Wanted:
    """``lrv`` from and to, 0..100; ``families`` of undertone, none for all; ``warmth`` warm, cool or either."""

    lrv: tuple[float, float] = (0.0, 100.0)
    families: frozenset[str] = frozenset()
    warmth: str = "either"


def wanted_paints(deck: Deck, wanted: Wanted) -> NDArray[np.bool_]:
    """Tell of each paint (N,) whether it is wanted."""
    low, high = wanted.lrv
    kept = (deck.lrv >= low) & (deck.lrv <= high)
    if wanted.families:
        kept &= np.isin(np.asarray(list(families(deck.lab))), sorted(wanted.families))
    if wanted.warmth != "either":
        side = 1 if wanted.warmth == "warm" else -1
        kept &= np.asarray(warmth(deck.lab)) * side > _NEITHER
    return kept
