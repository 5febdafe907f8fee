"""What of a deck needs no room to be known, as columns."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.harmony.tint import Tint, tint
from matcher.harmony.warmth import warmth
from matcher.paints.deck import Deck

FloatArray = NDArray[np.floating[Any]]


@dataclass(frozen=True, slots=True, eq=False)
class Paints:
    """N paints as columns: ``lab`` (N, 3), ``lrv``, ``chroma`` and ``warmth`` (N,), ``tint`` in single precision."""

    lab: FloatArray
    lrv: FloatArray
    chroma: FloatArray
    warmth: FloatArray
    tint: Tint

    def take(self, rows: NDArray[np.intp]) -> Paints:
        """The same columns for some rows."""
        return Paints(self.lab[rows], self.lrv[rows], self.chroma[rows], self.warmth[rows], self.tint.at(rows))


def paints_of(deck: Deck) -> Paints:
    """Return the columns of a deck, in its order."""
    lab = np.asarray(deck.lab, dtype=np.float64)
    chroma = np.hypot(lab[:, 1], lab[:, 2])
    return Paints(lab, np.asarray(deck.lrv, dtype=np.float64), chroma, warmth(lab), tint(lab.astype(np.float32)))
