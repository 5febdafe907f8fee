"""Which neutral ground swatches lie on: one that none of them melts into."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from matcher.colorimetry.spaces import hex_to_lab

# Neutral greys, L* 75 and 89: the usual ground of the app, and a lighter one for colours that are near the first.
USUAL, LIGHTER = "#b9b9b9", "#e0e0e0"
_APART = 10.0  # L*; assumption, by looking: nearer than this a neutral paint vanishes into the ground


def ground_of(hexes: Iterable[str]) -> str:
    """Return the ground for these colours: the usual one unless one of them is as light, then the farther of the two.

    >>> ground_of(["#d7d9c2", "#546e73"]), ground_of(["#bcbac0"])
    ('#b9b9b9', '#e0e0e0')
    """
    lightness = np.array([hex_to_lab(text)[0] for text in hexes])
    nearest = {ground: float(np.abs(lightness - hex_to_lab(ground)[0]).min()) for ground in (USUAL, LIGHTER)}
    return USUAL if nearest[USUAL] >= _APART else max(nearest, key=lambda ground: nearest[ground])
