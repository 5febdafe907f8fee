"""What a client will not go beyond: wishes that are kept, not weighed.

A wish for warm or cool, or for the walls' lightness (``Preferences``), is weighed against all else; these are not.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.harmony.undertone import families
from matcher.ranking.paint_columns import Paints

FloatArray = NDArray[np.floating[Any]]
Mask = NDArray[np.bool_]

# LRV are compared as they are printed, to a tenth: 25 is kept by 25.04.
PRINTED_LRV = 0.05


@dataclass(frozen=True, slots=True)
class Contrast:
    """The LRV of two roles are at ``least`` and at ``most`` so many points apart, whichever is lighter."""

    roles: tuple[str, str]
    least: float = 0.0
    most: float = 100.0


@dataclass(frozen=True, slots=True)
class Limits:
    """``avoid`` rows of the deck and ``avoid_families`` (families of hue) not to be used; ``lrv`` from and to by role;
    ``contrasts`` between roles; ``most_paints`` different ones to buy; ``one_trim`` for all rooms seen from each other.
    """

    avoid: frozenset[int] = frozenset()
    avoid_families: frozenset[str] = frozenset()
    lrv: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    contrasts: tuple[Contrast, ...] = ()
    most_paints: int | None = None
    one_trim: bool = False


def allowed_paints(limits: Limits, paints: Paints, role: str) -> Mask:
    """Tell of each paint (N,) whether it may be used in a role at all."""
    kept = not_avoided(limits.avoid, paints) & of_other_families(limits.avoid_families, paints)
    return kept & in_range(limits.lrv.get(role), paints.lrv)


def not_avoided(avoid: frozenset[int], paints: Paints) -> Mask:
    """Tell of each paint (N,) that it is not one of those rows."""
    kept = np.ones(len(paints.lrv), dtype=bool)
    kept[sorted(avoid)] = False
    return kept


def of_other_families(avoid: frozenset[str], paints: Paints) -> Mask:
    """Tell of each paint (N,) that its hue is of none of those families."""
    if not avoid:
        return np.ones(len(paints.lrv), dtype=bool)
    return np.array([family not in avoid for family in families(paints.lab)], dtype=bool)


def in_range(limits: tuple[float, float] | None, lrv: FloatArray) -> Mask:
    """Tell of each LRV (N,) whether it lies within, as printed; None for all."""
    if limits is None:
        return np.ones(len(lrv), dtype=bool)
    return np.asarray((lrv >= limits[0] - PRINTED_LRV) & (lrv <= limits[1] + PRINTED_LRV))
