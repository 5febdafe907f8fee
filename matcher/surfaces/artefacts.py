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
    centres = [middle(lab[g.core][:: 1 + int(g.core.sum()) // _ENOUGH]) for g in groups]
    extent = _extent(positions)
    kept: list[int] = []
    shares = [g.share for g in groups]
    effects = np.zeros(len(lab), bool)
    for index, group in enumerate(groups):
        one_place = plain or _extent(positions[group.members]) < _KEEPS_TO_ONE_PLACE * extent
        limit = _FITS_PLAIN if plain else _FITS_PATTERNED
        owner = _owner(centres[index], [centres[k] for k in kept], group.share, limit) if one_place else None
        if owner is None:
            kept.append(index)
        else:
            shares[kept[owner]] += shares[index]
            effects |= group.members
    found = [Group(groups[k].members, groups[k].core, shares[k]) for k in kept]
    return sorted(found, key=lambda group: -group.share), effects


def _owner(colour: Floats, larger: list[Floats], share: float, limit: float) -> int | None:
    """Return which of the ``larger`` groups this colour is a shadow or highlight of, the best fit, if any."""
    if not larger:
        return None
    xyz, base = lab_to_xyz(colour), lab_to_xyz(np.stack(larger))
    # More light of the same colour is a brighter patch of the same thing, less of it a shadow.
    scaled = base * (xyz[1] / base[:, 1:2])
    glossed = base + (xyz[1] - base[:, 1:2]) * WHITE_D65
    as_shade, as_gloss = delta_e_2000(xyz_to_lab(np.stack([scaled, np.maximum(glossed, 0)])), colour)
    can_gloss = (xyz[1] >= base[:, 1]) & (share <= _LARGEST_HIGHLIGHT)
    misfit = np.where(can_gloss, np.minimum(as_shade, as_gloss), as_shade)
    best = int(misfit.argmin())
    return best if misfit[best] < limit else None


def _extent(positions: Floats) -> float:
    """Return the area (standard deviations multiplied) over which pixels are spread."""
    if len(positions) < 3:
        return 0.0
    thinned = positions[:: 1 + len(positions) // _ENOUGH].T.astype(float)
    return float(np.sqrt(max(np.linalg.det(np.cov(thinned)), 0.0)))
