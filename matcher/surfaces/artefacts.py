"""Groups that are light and not material: a shadow that falls on part of a surface, a highlight on its gloss.

A shadow is the same colour with less light, a highlight the same colour with some of the lamp added. On a material
of one colour either is taken for what it is wherever it lies; on a patterned one only where it keeps to one place,
since veins, flecks, grout and boards are spread over the whole of it.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.spaces import WHITE_D65, Floats, lab_to_xyz, xyz_to_lab
from matcher.surfaces.grouping import Group
from matcher.surfaces.robust import middle

_PLAIN = ("paint", "metal", "laminate", "textile")
# Assumptions: how well a shadow or highlight has to fit the colour it falls on (dE00); light in a shadow is bounced
# and tinted, so more is allowed where the place already speaks for one.
_FITS_PLAIN, _FITS_PATTERNED = 4.0, 5.0
_KEEPS_TO_ONE_PLACE = 0.4  # of the region's own extent, area by area
_LARGEST_HIGHLIGHT = 0.2
_ENOUGH = 1000  # pixels to tell an extent by


def without_light_effects(
    groups: list[Group], lab: Floats, positions: Floats, material: str
) -> tuple[list[Group], NDArray[np.bool_]]:
    """Return the material groups, largest share first, each with the share of its shadows and highlights added, and
    which pixels (N,) those shadows and highlights are.
    """
    plain = material in _PLAIN
    limit = _FITS_PLAIN if plain else _FITS_PATTERNED
    misfit = _misfits(np.stack([middle(lab[_some(g.core)]) for g in groups]), groups)
    extent = _extent(positions[:: 1 + len(positions) // _ENOUGH])
    kept: list[int] = []
    shares = [g.share for g in groups]
    effects = np.zeros(len(lab), bool)
    for index, group in enumerate(groups):
        owner = min(kept, key=lambda k: float(misfit[index, k]), default=index)
        fits = misfit[index, owner] < limit
        if fits and (plain or _extent(positions.take(_some(group.members), axis=0)) < _KEEPS_TO_ONE_PLACE * extent):
            shares[owner] += shares[index]
            effects |= group.members
        else:
            kept.append(index)
    found = [Group(groups[k].members, groups[k].core, shares[k]) for k in kept]
    return sorted(found, key=lambda group: -group.share), effects


def _misfits(colours: Floats, groups: list[Group]) -> Floats:
    """Return (G, G) how far (dE00) each group's colour (row) is from a shadow or highlight on each group (column).

    No group is one of itself.
    """
    xyz = lab_to_xyz(colours)
    light, base = xyz[:, None, 1:2], xyz[None]
    # More light of the same colour is a brighter patch of the same thing, less of it a shadow.
    scaled = base * (light / base[..., 1:2])
    glossed = base + (light - base[..., 1:2]) * WHITE_D65
    as_shade, as_gloss = delta_e_2000(xyz_to_lab(np.stack([scaled, np.maximum(glossed, 0)])), colours[:, None])
    small = np.array([group.share <= _LARGEST_HIGHLIGHT for group in groups])
    can_gloss = (xyz[:, None, 1] >= xyz[:, 1]) & small[:, None]
    misfit: Floats = np.where(can_gloss, np.minimum(as_shade, as_gloss), as_shade)
    np.fill_diagonal(misfit, np.inf)
    return misfit


def _some(chosen: NDArray[np.bool_]) -> NDArray[np.intp]:
    """Return the places of about a thousand of the chosen pixels (N,), evenly among them."""
    places = np.flatnonzero(chosen)
    return places[:: 1 + len(places) // _ENOUGH]


def _extent(positions: Floats) -> float:
    """Return the area (standard deviations multiplied) over which pixels (N, 2) are spread."""
    if len(positions) < 3:
        return 0.0
    return float(np.sqrt(max(np.linalg.det(np.cov(positions.T.astype(float))), 0.0)))
