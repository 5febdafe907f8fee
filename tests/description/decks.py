"""Small decks typed in a test: a name and CIELAB each, codes P0, P1 and so on."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from matcher.colorimetry.lrv import lrv
from matcher.paints.deck import Deck


def deck_of(*labs: Sequence[float], names: Sequence[str] | None = None, name: str = "typed") -> Deck:
    """Return a deck of these colours, in their order."""
    colours = np.array(labs, dtype=float).reshape(-1, 3)
    count = len(colours)
    return Deck(
        name=name,
        sha256=f"{name} {count}",
        codes=tuple(f"P{row}" for row in range(count)),
        names=tuple(names or (f"Name {row}" for row in range(count))),
        collections=("",) * count,
        lab=colours,
        lrv=np.asarray(lrv(colours)),
        exterior=np.zeros(count, bool),
        reflectance=None,
    )
