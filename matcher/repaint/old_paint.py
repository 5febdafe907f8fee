"""What the paint that is there now reflects: as measured, or from surfaces and cards beside it in the picture.

The light on the area is what its pixels show over what its paint reflects, so this sets the level of everything that
is painted over it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from matcher.calibration.light import Light
from matcher.colorimetry.adaptation import BRADFORD
from matcher.colorimetry.spaces import WHITE_D65, Floats, xyz_to_lab
from matcher.repaint.lamp import daylight_cones, lamp_share, seen_cones
from matcher.repaint.scene import Scene
from matcher.repaint.sheen import gloss_of
from matcher.room.model import OutlinedSurface
from matcher.surfaces.model import Surface

# Assumptions. Overlap from which an outlined surface is the thing to be painted; how surely light is carried over a
# distance (share of the picture's diagonal) from a card or a surface whose colour is known: logarithm of its level, and
# of its colour; the share of pixels nearest to each other that are compared.
_SAME_THING = 0.8
_CARRIED_LEVEL = (0.25, 0.5)
_CARRIED_COLOUR = (0.04, 0.25)
# Assumption: cards and most surfaces lie flat, in the best of the light; the logarithm of what of it reaches upright
# walls. In the two sample rooms, by day and by lamp, it is -0.6 to -1.0.
_REACHES = {"walls": -0.6, "accent": -0.6}
_NEAREST = 0.06
_FEWEST = 30
# Assumption: what house paints reflect before anything is seen, its middle and the sigma of its logarithm; few go
# beyond the whitest.
_USUAL = {"ceiling": (0.78, 0.4), "trim": (0.7, 0.6)}
_USUAL_ELSE = (0.45, 1.0)
_WHITEST, _BLACKEST = 0.92, 0.02


@dataclass(frozen=True, slots=True, eq=False)
class OldPaint:
    """``cones`` (3,) reflectance of the paint in the room's light, Bradford's cone space, white = 1; ``gloss`` what its
    surface adds to that, as a reflectance; ``level_sd`` one-sigma of the logarithm of their sum; ``measured`` is False
    where it was only judged from what lies beside it.
    """

    cones: Floats
    gloss: float
    level_sd: float
    measured: bool

    @property
    def lab(self) -> Floats:
        """CIELAB D65/2 (3,), as the room's light shows it."""
        return xyz_to_lab(self.cones * (BRADFORD @ WHITE_D65) @ np.linalg.inv(BRADFORD).T)


def find_old_paint(
    scene: Scene,
    role: str,
    lights: Sequence[Light],
    outlined: Sequence[OutlinedSurface],
    measured: Mapping[str, Surface],
) -> OldPaint:
    """Return the paint of the area; ``outlined`` are the surfaces of this photo, ``measured`` the room's by name.

    A surface of the role's name, or one outlined on the area, that had its own card or an instrument is taken as
    measured.
    """
    share = lamp_share(lights)
    gloss = gloss_of(role, share)
    masks = {surface.name: _mask(surface, scene) for surface in outlined}
    for name, surface in measured.items():
        if _is_trusted(surface) and (name == role or _lies_on(masks.get(name), scene)):
            lab = surface.colours[0].lab
            if surface.source == "photo":
                # A camera saw it in this light, and the gloss with the paint.
                cones = daylight_cones(lab)
                cones = np.maximum(cones - gloss, cones / 2)
            else:
                cones = seen_cones(lab, share)
            level_sd = float(np.sqrt(surface.colours[0].covariance[0, 0])) * _level_slope(surface.colours[0].lab)
            return OldPaint(cones, gloss, level_sd, True)
    ratios = [_beside_card(light, scene) for light in lights]
    ratios += [
        _beside_surface(masks[name], measured[name], scene)
        for name in masks
        if name in measured and _is_trusted(measured[name]) and not _lies_on(masks[name], scene)
    ]
    told = [replace(ratio, log=ratio.log - _REACHES.get(role, 0.0)) for ratio in ratios if ratio is not None]
    level, level_sd, colour = _combined(told, *_USUAL.get(role, _USUAL_ELSE))
    seen = np.clip(np.exp(level + colour), _BLACKEST, _WHITEST)
    return OldPaint(np.maximum(seen - gloss, seen / 2), gloss, level_sd, False)


def _is_trusted(surface: Surface) -> bool:
    return "instrument" in surface.source or surface.has_own_card


def _level_slope(lab: Floats) -> float:
    """Return how much the logarithm of luminance changes with one of L*."""
    return 3.0 / (float(lab[0]) + 16.0)


def _mask(surface: OutlinedSurface, scene: Scene) -> NDArray[np.bool_]:
    mask = np.zeros(scene.core.shape, np.uint8)
    for polygon in surface.polygons:
        cv2.fillPoly(mask, [np.round(np.asarray(polygon) * scene.scale - 0.5).astype(np.int32)], 1)
    return mask.astype(bool)


def _lies_on(mask: NDArray[np.bool_] | None, scene: Scene) -> bool:
    if mask is None or not mask.any():
        return False
    return bool(scene.inside[mask].mean() > _SAME_THING)


@dataclass(frozen=True, slots=True, eq=False)
class _Ratio:
    """Logarithm (3,) of the area's reflectance as one source tells, and one-sigma of its level and its colour."""

    log: Floats
    level_sd: float
    colour_sd: float


def _beside_card(light: Light, scene: Scene) -> _Ratio | None:
    rows, columns = np.nonzero(scene.core & scene.usable)
    if len(rows) < _FEWEST:
        return None
    away = np.hypot(columns + 0.5 - light.position[0] * scene.scale, rows + 0.5 - light.position[1] * scene.scale)
    near = away <= np.quantile(away, _NEAREST)
    seen = np.median(np.log(scene.cones[rows[near], columns[near]]), axis=0)
    return _ratio(seen - light.cones, float(away[near].mean()), scene, extra_sd=0.0)


def _beside_surface(mask: NDArray[np.bool_], surface: Surface, scene: Scene) -> _Ratio | None:
    mask = mask & scene.usable & ~scene.inside
    core = scene.core & scene.usable
    if mask.sum() < _FEWEST or core.sum() < _FEWEST:
        return None
    to_core = cv2.distanceTransform((~core).astype(np.uint8), cv2.DIST_L2, 3)
    near_surface = mask & (to_core <= np.quantile(to_core[mask], 2 * _NEAREST))
    to_surface = cv2.distanceTransform((~near_surface).astype(np.uint8), cv2.DIST_L2, 3)
    near_core = core & (to_surface <= np.quantile(to_surface[core], _NEAREST))
    light = np.log(scene.cones[near_surface].mean(axis=0)) - np.log(daylight_cones(surface.lab))
    seen = np.median(np.log(scene.cones[near_core]), axis=0)
    sd = float(np.sqrt(surface.covariance[0, 0])) * _level_slope(surface.lab)
    return _ratio(seen - light, float(to_surface[near_core].mean()), scene, extra_sd=sd)


def _ratio(log: Floats, distance: float, scene: Scene, *, extra_sd: float) -> _Ratio:
    share = distance / float(np.hypot(*scene.core.shape))
    level, colour = (first + slope * share for first, slope in (_CARRIED_LEVEL, _CARRIED_COLOUR))
    return _Ratio(log, float(np.hypot(level, extra_sd)), colour)


def _combined(ratios: Sequence[_Ratio], usual: float, usual_sd: float) -> tuple[float, float, Floats]:
    """Return the logarithm of the level with its sigma, and what each cone differs from it (3,).

    ``usual`` is the level before anything is seen, ``usual_sd`` the sigma of its logarithm.
    """
    levels = np.array([np.log(usual), *(ratio.log[1] for ratio in ratios)])
    weights = np.array([usual_sd, *(ratio.level_sd for ratio in ratios)]) ** -2.0
    colours = np.array([np.zeros(3), *(ratio.log - ratio.log[1] for ratio in ratios)])
    colour_weights = np.array([0.01, *(ratio.colour_sd**-2.0 for ratio in ratios)])
    level = float(np.average(levels, weights=weights))
    return level, float(weights.sum() ** -0.5), np.average(colours, axis=0, weights=colour_weights)
