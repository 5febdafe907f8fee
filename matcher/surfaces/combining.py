"""Readings of one surface from several photos, and instrument readings, as one surface."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations

import numpy as np

from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.spaces import Floats, lab_to_xyz, xyz_to_lab
from matcher.colorimetry.symmetric_root import symmetric_root
from matcher.surfaces.contradiction import excess_of
from matcher.surfaces.grouping import SAME_MATERIAL_DE00
from matcher.surfaces.reading import SurfaceReading
from matcher.surfaces.surface import Cause, Surface, SurfaceColour

# Assumption: colours of two readings closer than this, once their main colours are laid over each other, are the same.
_SAME_COLOUR_DE00 = 6.0
# Assumption: colours that a photo told apart may come nearer to each other than that when readings are combined; below
# this part of the distance they are one.
_TOLD_APART = 0.75
_NONE = np.zeros((3, 3))
# What two photos of one surface by one camera have in common (assumption: wholly). Light is another at every card.
_SHARED: frozenset[Cause] = frozenset({"tone curve", "camera and lamp", "sheen", "texture"})


def combine(readings: Sequence[SurfaceReading], visibility: float) -> Surface:
    """Return the surface from its readings (at least one), each weighing by its own doubt."""
    ordered = sorted(readings, key=lambda r: float(np.trace(r.colours[0].covariance)))
    best = ordered[0]
    colours = list(best.colours)
    for other in ordered[1:]:
        colours = _merge(colours, other)
    excess = max((excess_of(a, b) for a, b in combinations(ordered, 2)), default=1.0)
    if excess > 1:
        colours = [_widened(colour, excess) for colour in colours]
    return make_surface(
        best.name,
        best.material,
        _told_apart(colours),
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


def _told_apart(colours: Sequence[SurfaceColour]) -> tuple[SurfaceColour, ...]:
    """Return the colours, largest share first, those that came to lie together as one."""
    kept: list[SurfaceColour] = []
    for colour in sorted(colours, key=lambda c: -c.share):
        near = [
            i for i, k in enumerate(kept) if float(delta_e_2000(k.lab, colour.lab)) < _TOLD_APART * SAME_MATERIAL_DE00
        ]
        if not near:
            kept.append(colour)
            continue
        larger = kept[near[0]]
        share = larger.share + colour.share
        lab = (larger.share * larger.lab + colour.share * colour.lab) / share
        kept[near[0]] = replace(larger, lab=lab, share=share)
    return tuple(sorted(kept, key=lambda c: -c.share))


def _merge(colours: list[SurfaceColour], other: SurfaceReading) -> list[SurfaceColour]:
    """Return ``colours`` with the matching colours of another reading weighed in.

    Two match that are each other's nearest, once the main colours are laid over each other: one colour of the other
    photo speaks for one of this surface, not for two.
    """
    own, theirs = (np.stack([c.lab for c in found]) for found in (colours, other.colours))
    distance = delta_e_2000(own[:, None], theirs + (own[0] - theirs[0]))
    merged = []
    for index, colour in enumerate(colours):
        match = int(distance[index].argmin())
        if distance[index, match] > _SAME_COLOUR_DE00 or distance[:, match].argmin() != index:
            merged.append(colour)
            continue
        merged.append(_weighed(colour, other.colours[match]))
    return merged


def _widened(colour: SurfaceColour, excess: float) -> SurfaceColour:
    causes = {cause: excess * part for cause, part in colour.causes.items()}
    return replace(colour, covariance=excess * colour.covariance, causes=causes)


def _weighed(a: SurfaceColour, b: SurfaceColour) -> SurfaceColour:
    """Return ``a`` at the precision-weighted mean of both, with its covariance and what is left of each cause.

    Causes that the readings have in common do not shrink by being read twice.
    """
    total = a.covariance + b.covariance
    gain = np.linalg.solve(total, a.covariance).T
    kept = np.eye(3) - gain
    covariance = kept @ a.covariance @ kept.T + gain @ b.covariance @ gain.T
    causes: dict[Cause, Floats] = {}
    for cause in {**a.causes, **b.causes}:
        one, other = a.causes.get(cause, _NONE), b.causes.get(cause, _NONE)
        part = kept @ one @ kept.T + gain @ other @ gain.T
        if cause in _SHARED:
            # One error in both readings, each in its own size: it adds up as it is, not as squares do.
            both = kept @ symmetric_root(one) @ symmetric_root(other) @ gain.T
            part = part + both + both.T
            covariance = covariance + both + both.T
        causes[cause] = part
    return replace(a, lab=a.lab + gain @ (b.lab - a.lab), covariance=(covariance + covariance.T) / 2, causes=causes)
