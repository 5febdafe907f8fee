"""Which way a near-neutral leans, how visibly, and what its hue family is called."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from matcher.colorimetry.munsell import hue_family, munsell
from matcher.harmony.tint import tint_boundary, visibility

__all__ = ["STRENGTHS", "Undertone", "families", "tint_boundary", "undertone", "undertones", "visibility"]

# Assumption: words for visibility (chroma over the ISCC-NBS tint boundary). 1 is where one colour alone is called
# tinted; side by side, people see about half of that (half the purple boundary is 0.8 C*, about 1 CIEDE2000 unit from
# grey). The upper two follow the ISCC-NBS tinted greys, which end at two to three times the boundary.
STRENGTHS: tuple[tuple[float, str], ...] = ((0.5, "none"), (1.5, "slight"), (3.0, "clear"), (np.inf, "strong"))


@dataclass(frozen=True, slots=True)
class Undertone:
    """``family``: Munsell hue family spelled out, "neutral" where ``strength`` is "none". ``hue_deg``: CIELAB h_ab,
    [0, 360). ``chroma``: C*ab. ``visibility``: chroma over the tint boundary, 1 = just visible.
    """

    family: str
    strength: str
    hue_deg: float
    chroma: float
    visibility: float


def strength_of(seen: float) -> str:
    """The word for a visibility: none, slight, clear or strong."""
    return next(word for limit, word in STRENGTHS if seen < limit)


def families(lab: ArrayLike) -> Iterator[str]:
    """The family words of (N, 3) colours, one after the other as they are asked for."""
    neutral = visibility(lab) < STRENGTHS[0][0]
    for hue, plain in zip(munsell(lab)[0].tolist(), neutral.tolist(), strict=True):
        yield "neutral" if plain else hue_family(hue)


def undertones(lab: ArrayLike) -> tuple[Undertone, ...]:
    """The undertones of (N, 3) colours."""
    array: NDArray[np.floating[Any]] = np.asarray(lab, dtype=np.float64).reshape(-1, 3)
    seen = visibility(array)
    chroma = np.hypot(array[:, 1], array[:, 2])
    hue_deg = np.degrees(np.arctan2(array[:, 2], array[:, 1])) % 360
    columns = (hue_deg.tolist(), chroma.tolist(), seen.tolist())
    return tuple(
        Undertone(family, strength_of(visible), hue, strong, visible)
        for family, hue, strong, visible in zip(families(array), *columns, strict=True)
    )


def undertone(lab: ArrayLike) -> Undertone:
    """The undertone of one colour (3,)."""
    return undertones(lab)[0]
