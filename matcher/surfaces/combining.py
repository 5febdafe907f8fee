"""Readings of one surface from several photos, and instrument readings, as one surface."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.spaces import Floats, lab_to_xyz, xyz_to_lab
from matcher.surfaces.model import Surface, SurfaceColour
from matcher.surfaces.reading import Reading

# Assumption: colours of two readings closer than this, once their main colours are laid over each other, are the same.
_SAME_COLOUR_DE00 = 6.0


def combine(readings: Sequence[Reading], visibility: float) -> Surface:
    """Return the surface from its readings (at least one), each weighing by its own doubt."""
    ordered = sorted(readings, key=lambda r: float(np.trace(r.colours[0].covariance)))
    best = ordered[0]
    colours = list(best.colours)
    for other in ordered[1:]:
        colours = [_merge(colour, colours[0], other) for colour in colours]
    return make_surface(
        best.name,
        best.material,
        tuple(colours),
        visibility=visibility,
        source="photo",
        has_own_card=any(r.own_card for r in readings),
    )


def make_surface(
    name: str,
    material: str,
    colours: tuple[SurfaceColour, ...],
    *,
    visibility: float,
    source: str,
    has_own_card: bool,
) -> Surface:
    """Return the surface with its mean colour, mixed as light."""
    shares = np.array([c.share for c in colours])
    shares = shares / shares.sum()
    mean = xyz_to_lab(shares @ lab_to_xyz(np.stack([c.lab for c in colours])))
    # The colours of one surface share their light and camera: their errors go together, so covariances are averaged.
    covariance = np.einsum("i,ijk->jk", shares, np.stack([c.covariance for c in colours]))
    return Surface(
        name=name,
        material=material,
        colours=colours,
        lab=mean,
        covariance=covariance,
        visibility=visibility,
        source=source,
        has_own_card=has_own_card,
    )


def _merge(colour: SurfaceColour, main: SurfaceColour, other: Reading) -> SurfaceColour:
    """Return ``colour`` with the matching colour of another reading weighed in."""
    labs = np.stack([c.lab for c in other.colours])
    shifted = labs + (main.lab - other.colours[0].lab)
    distance = delta_e_2000(shifted, colour.lab)
    index = int(distance.argmin())
    if distance[index] > _SAME_COLOUR_DE00:
        return colour
    match = other.colours[index]
    lab, covariance = _weighed(colour, match)
    return SurfaceColour(lab, covariance, colour.share, colour.part)


def _weighed(a: SurfaceColour, b: SurfaceColour) -> tuple[Floats, Floats]:
    """Return the precision-weighted mean and its covariance."""
    total = a.covariance + b.covariance
    gain = np.linalg.solve(total, a.covariance).T
    lab = a.lab + gain @ (b.lab - a.lab)
    covariance = a.covariance - gain @ a.covariance
    return lab, (covariance + covariance.T) / 2
