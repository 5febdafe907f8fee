"""The reflectance of a deck's paints: measured where its file says it, recovered from the colour elsewhere."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from matcher.colorimetry.recovery import recover_reflectance
from matcher.colorimetry.spaces import Floats
from matcher.paints.deck import Deck


def reflectance_of(deck: Deck, rows: Sequence[int] | None = None) -> Floats:
    """Return (N, 36), 380..730 nm by 10, of some ``rows`` of a deck, or of all of it.

    A paint of which none can be recovered, a black with a tint, gets a flat one of its lightness.
    """
    chosen = np.arange(len(deck)) if rows is None else np.asarray(rows, dtype=np.intp)
    found = np.full((len(chosen), 36), np.nan) if deck.reflectance is None else np.array(deck.reflectance[chosen])
    unknown = np.flatnonzero(~np.isfinite(found).all(axis=1))
    if len(unknown):
        found[unknown] = sound_reflectance(deck.lab[chosen[unknown]])
    return found


def sound_reflectance(lab: Floats) -> Floats:
    """Return recovered reflectances (N, 36) of colours (N, 3), flat ones where none can be recovered."""
    found = recover_reflectance(lab)
    lost = ~np.isfinite(found).all(axis=1)
    if lost.any():
        found[lost] = recover_reflectance(lab[lost] * np.array([1.0, 0.0, 0.0]))
    return found
