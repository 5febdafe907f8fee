"""Light told from material: the field of light across a surface, the colours freed of it, and the groups they form."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from matcher.calibration.light import Light
from matcher.colorimetry.spaces import Floats
from matcher.surfaces import doubt
from matcher.surfaces.artefacts import without_light_effects
from matcher.surfaces.grouping import Group, find_groups
from matcher.surfaces.region import Region
from matcher.surfaces.shading import Shading, fit_shading, refit_shading

# Assumptions: the part of the light's spread (logarithm) that a smooth field of low order does not follow; and, as
# paint has one colour, how far light alone may move it beside that.
_MISFIT, _ONE_COAT = 0.08, 0.05
_THINNED = 7


@dataclass(frozen=True, slots=True, eq=False)
class Separation:
    """``flat`` (N, 3) logarithms of cone responses relative to a perfect white, freed of the light's ``shading``, for
    the pixels of ``region``; ``groups`` of them, largest share first.
    """

    region: Region
    shading: Shading
    flat: Floats
    groups: list[Group]


def separate(
    region: Region, cones: Floats, light: Light, *, own_card: bool, noise: Floats, material: str
) -> Separation:
    """Separate ``cones`` (N, 3), logarithms of cone responses of the region's pixels.

    ``light`` is that of the surface's own card (``own_card``) or of another; ``noise`` (3, 3) a pixel's in Lab.
    Pixels of shadows and highlights are left out of the region returned.
    """
    rng = np.random.default_rng(0)
    shading = fit_shading(cones, region.positions, rng)
    flat = _flat(cones, region, shading, light, own_card)
    lab = doubt.reflectance_lab(flat)
    noise = noise + _field_misfit(flat, shading, region, material)
    found = find_groups(lab, region.roughness, noise, rng)
    groups, effects = without_light_effects(found, lab, region.positions, material)
    if effects.any():
        # Shadows and highlights bend the field that is fitted through them: once they are known, fit without them.
        kept = ~effects
        region, cones = region.only(kept), cones.T[:, kept].T
        groups = [replace(g, members=g.members[kept], core=g.core[kept]) for g in groups]
        shading = refit_shading(cones, region.positions, groups, rng)
        flat = _flat(cones, region, shading, light, own_card)
    return Separation(region, shading, flat, groups)


def _field_misfit(flat: Floats, shading: Shading, region: Region, material: str) -> Floats:
    """Return the covariance (3, 3) in Lab of what the smooth field leaves of the light: it sets no colours apart."""
    field_sd = float(shading.level_at(region.positions[::_THINNED]).std())
    sd = _MISFIT * field_sd + (_ONE_COAT if material == "paint" else 0.0)
    middle_colour = np.median(flat[::_THINNED], axis=0).astype(float)
    brighter, darker = doubt.reflectance_lab(middle_colour + np.array([[sd], [-sd]]))
    step = (brighter - darker) / 2
    return np.outer(step, step)


def _flat(cones: Floats, region: Region, shading: Shading, light: Light, own_card: bool) -> Floats:
    level = light.cones - (shading.at(shading.nearest_seen(light.position)[None])[0] if own_card else 0.0)
    flat: Floats = cones - (shading.at(region.positions) + level.astype(cones.dtype))
    return flat
