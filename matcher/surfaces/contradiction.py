"""Photos of one surface that cannot both be right: further apart than their doubts allow."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from matcher.colorimetry.difference import delta_e_2000
from matcher.surfaces.reading import SurfaceReading

_DEGREES_OF_FREEDOM = 3
# 99.9 % of readings that agree lie nearer: chi squared of 3 degrees of freedom. A room has many pairs of photos.
_CONTRADICTS = 16.266
# Which colour of a mottled stone comes first is chance: any that covers so much may stand for the surface (assumption).
_MAIN_SHARE = 0.25


@dataclass(frozen=True, slots=True)
class Contradiction:
    """Two ``photos`` of the surface ``name`` whose colours lie ``apart`` in dE00."""

    name: str
    photos: tuple[str, str]
    apart: float


def contradictions(read: Sequence[tuple[str, SurfaceReading]]) -> tuple[Contradiction, ...]:
    """Return the worst pair of photos of each surface that contradicts itself; ``read`` is (photo, reading)."""
    found: dict[str, tuple[float, Contradiction]] = {}
    for (first, a), (second, b) in combinations(read, 2):
        if a.name != b.name:
            continue
        chi_squared, apart = _nearest(a, b)
        if chi_squared > max(_CONTRADICTS, found[a.name][0] if a.name in found else 0.0):
            found[a.name] = chi_squared, Contradiction(a.name, (first, second), apart)
    return tuple(contradiction for _, contradiction in found.values())


def excess_of(a: SurfaceReading, b: SurfaceReading) -> float:
    """Return by how much the variances of two readings are too small for both to be right; 1 where they may be.

    The squared ratio of Birge 1932, Phys. Rev. 40:207, as the Particle Data Group scales errors (from memory).
    """
    chi_squared, _ = _nearest(a, b)
    return chi_squared / _DEGREES_OF_FREEDOM if chi_squared > _CONTRADICTS else 1.0


def _nearest(a: SurfaceReading, b: SurfaceReading) -> tuple[float, float]:
    """Return chi squared and dE00 of the two main colours that agree best.

    What both photos have in common counts as doubt here too, so that none is accused too easily.
    """
    pairs = []
    for one in (c for c in a.colours if c is a.colours[0] or c.share >= _MAIN_SHARE):
        for other in (c for c in b.colours if c is b.colours[0] or c.share >= _MAIN_SHARE):
            step = other.lab - one.lab
            chi_squared = float(step @ np.linalg.solve(one.covariance + other.covariance, step))
            pairs.append((chi_squared, float(delta_e_2000(one.lab, other.lab))))
    return min(pairs)
