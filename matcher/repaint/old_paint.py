"""What the paint that is there now reflects: as measured, or else as judged by cards that lie elsewhere.

The light on the area is what its pixels show over what its paint reflects, so this sets the level of everything that
is painted over it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from matcher.calibration.light import CURVE_STEP, Light, cone_matrix
from matcher.calibration.light_between import light_between
from matcher.calibration.photo_calibration import PhotoCalibration
from matcher.calibration.tone_curve import TONES, linear_table, moved_strengths
from matcher.colorimetry.adaptation import FROM_BRADFORD, WHITE_CONES
from matcher.colorimetry.spaces import Floats, xyz_to_lab
from matcher.errors import SurfaceError
from matcher.photo.decoded import Photo
from matcher.repaint.lamp import daylight_cones, lamp_share, seen_cones
from matcher.repaint.scene import Scene
from matcher.repaint.sheen import gloss_of
from matcher.room.contents import Area, Material, OutlinedSurface
from matcher.surfaces.card_noise import noise_left
from matcher.surfaces.reading import read_surface
from matcher.surfaces.surface import Surface, SurfaceColour

# Assumptions. Overlap from which an outlined surface is the thing to be painted; what is not painted over as a rule, so
# that it lies in an area only because nobody drew a hole round it.
_SAME_THING = 0.8
_LEFT_ALONE: frozenset[Material] = frozenset({"tile", "stone", "metal", "textile"})
# A role's area goes round the room, where a surface is a patch of it. Cards stand in the better light, walls reach into
# corners: how much less light falls there than by those cards, as a logarithm (assumption, between the sample rooms'
# 0.3 to 1.4 and next to none where a wall was lit as its worktop), and one-sigma of that, beside what is not known of
# any surface without its own card (surfaces/doubt.py). With both, nine tenths of the areas of rendered rooms were
# within the stated ninety per cent (tests/benchmarks/repainting.py).
_REACHES = {"walls": 0.2, "accent": 0.2}
_AREA_LEVEL = 0.4
# Assumption: what house paints reflect before anything is seen, its middle and the sigma of its logarithm; few reflect
# more or less than the last two.
_USUAL = {"ceiling": (0.78, 0.4), "trim": (0.7, 0.6)}
_USUAL_ELSE = (0.45, 1.0)
BLACKEST, WHITEST = 0.02, 0.92
_DARKEST = 1e-5


@dataclass(frozen=True, slots=True, eq=False)
class OldPaint:
    """``cones`` (3,) reflectance of the paint in the room's light, Bradford's cone space, white = 1; ``gloss`` what its
    surface adds to that, as a reflectance; ``level_sd`` one-sigma of the logarithm of their sum. Of that ``other_sd``
    is what does not come from this photo's tone curve, and ``curve_shift`` (5,) how the logarithm moves with each of
    the curve's strengths. ``measured`` is False where no card lay on the paint and no instrument read it.
    """

    cones: Floats
    gloss: float
    level_sd: float
    other_sd: float
    curve_shift: Floats
    measured: bool

    @property
    def lab(self) -> Floats:
        """CIELAB D65/2 (3,), as the room's light shows it."""
        return xyz_to_lab(self.cones * WHITE_CONES @ FROM_BRADFORD.T)


def find_old_paint(
    scene: Scene,
    photo: Photo,
    calibration: PhotoCalibration,
    areas: Sequence[Area],
    outlined: Sequence[OutlinedSurface],
    measured: Mapping[str, Surface],
    cards: Sequence[Floats],
) -> OldPaint:
    """Return the paint of ``areas`` (one role); ``outlined`` are the surfaces of this photo, ``measured`` the room's by
    name, ``cards`` outlines in full-size pixels of what lies on the area.

    A surface of the role's name, or one outlined on the area, that had its own card or an instrument is taken as
    measured. Without one the area is read as any surface is on which no card lies.
    """
    role = areas[0].role
    share = lamp_share(calibration.lights)
    gloss = gloss_of(role, share)
    there = _on_the_area(scene, role, outlined, measured)
    known = next((surface for surface in there if _is_trusted(surface)), None)
    if known is not None and known.source != "photo":
        cones = seen_cones(known.colours[0].lab, share)
        sd = _level_sd(known.colours[0].lab, known.colours[0].covariance)
        return OldPaint(cones, gloss, sd, sd, np.zeros(len(TONES)), measured=True)
    shift = _curve_shift(scene, photo, calibration, outlined, known)
    if known is not None:
        return _seen(known.colours[0], gloss, shift, extra=0.0, measured=True)
    colour = _read(photo, calibration, areas, cards)
    if colour is None:
        level, sd = _USUAL.get(role, _USUAL_ELSE)
        return OldPaint(np.full(3, level), gloss, sd, sd, np.zeros(len(TONES)), measured=False)
    old = _seen(colour, gloss, shift, extra=_AREA_LEVEL, measured=False)
    level = float(old.cones[1])
    expected = np.clip(level * np.exp(_REACHES.get(role, 0.0)), BLACKEST, max(level, WHITEST))
    return replace(old, cones=old.cones * (expected / level))


def _seen(colour: SurfaceColour, gloss: float, curve_shift: Floats, *, extra: float, measured: bool) -> OldPaint:
    """Return a paint whose ``colour`` the camera saw in this light, the gloss with the paint."""
    cones = daylight_cones(colour.lab)
    curve = colour.causes.get("tone curve", np.zeros((3, 3)))
    other = _level_sd(colour.lab, colour.covariance - curve)
    return OldPaint(
        cones=np.maximum(cones - gloss, cones / 2),
        gloss=gloss,
        level_sd=float(np.hypot(_level_sd(colour.lab, colour.covariance), extra)),
        other_sd=float(np.hypot(other, extra)),
        curve_shift=curve_shift,
        measured=measured,
    )


def _on_the_area(
    scene: Scene, role: str, outlined: Sequence[OutlinedSurface], measured: Mapping[str, Surface]
) -> list[Surface]:
    """Return what was read of the area: the surface of the role's name first, then paint, then what may be painted."""
    lying = [s.name for s in outlined if s.name in measured and s.name != role and _lies_on(_mask(s, scene), scene)]
    found = [measured[name] for name in lying if measured[name].material not in _LEFT_ALONE]
    found.sort(key=lambda surface: surface.material != "paint")
    return ([measured[role]] if role in measured else []) + found


def _is_trusted(surface: Surface) -> bool:
    return "instrument" in surface.source or surface.has_own_card


def _level_sd(lab: Floats, covariance: Floats) -> float:
    """Return one-sigma of the logarithm of luminance of a colour (3,) with ``covariance`` (3, 3), CIE 015:2018."""
    return float(np.sqrt(max(float(covariance[0, 0]), 0.0))) * 3.0 / (float(lab[0]) + 16.0)


def _mask(surface: OutlinedSurface, scene: Scene) -> NDArray[np.bool_]:
    mask = np.zeros(scene.core.shape, np.uint8)
    for polygon in surface.polygons:
        cv2.fillPoly(mask, [np.round(np.asarray(polygon) * scene.scale - 0.5).astype(np.int32)], 1)
    return mask.astype(bool)


def _lies_on(mask: NDArray[np.bool_], scene: Scene) -> bool:
    return bool(mask.any() and scene.inside[mask].mean() > _SAME_THING)


def _read(
    photo: Photo, calibration: PhotoCalibration, areas: Sequence[Area], cards: Sequence[Floats]
) -> SurfaceColour | None:
    """Return the main colour of the areas in the light that cards elsewhere lead to expect; None where none shows."""
    outlines = tuple(outline for area in areas for outline in area.outlines)
    in_front = [np.asarray(hole, dtype=float) for area in areas for hole in area.holes]
    try:
        reading = read_surface(
            photo,
            calibration,
            OutlinedSurface(name=areas[0].role, material="paint", outlines=outlines),
            cards=[*in_front, *cards],
            noise_left=noise_left(photo, (), calibration.noise),
            whole_room=True,
            where=photo.path.name,
        )
    except SurfaceError:
        return None
    return reading.colours[0]


def _curve_shift(
    scene: Scene,
    photo: Photo,
    calibration: PhotoCalibration,
    outlined: Sequence[OutlinedSurface],
    known: Surface | None,
) -> Floats:
    """Return (5,) how the logarithm of what the old paint reflects moves with each strength of this photo's curve: none
    where it was read in another photo.
    """
    if known is not None and known.name not in {surface.name for surface in outlined}:
        return np.zeros(len(TONES))
    rows, columns = np.nonzero(scene.core & scene.usable)
    if not len(rows):
        return np.zeros(len(TONES))
    own = [light for light in calibration.lights if known is not None and light.on == known.name]
    place = np.array([columns.mean() + 0.5, rows.mean() + 0.5]) / scene.scale
    light: Light = own[0] if own else light_between(calibration.lights, place, lamp=calibration.lamp)
    return seen_shift(np.median(scene.cones[rows, columns], axis=0), photo, calibration) - light.curve_shift[:, 1]


def seen_shift(cones: NDArray[Any], photo: Photo, calibration: PhotoCalibration) -> Floats:
    """Return (5,) how the logarithm of the light that shows as ``cones`` (3,) moves with each strength of the curve."""
    space, strength = photo.colour_space, calibration.curve.strength
    to_cones = cone_matrix(space)
    linear = np.asarray(cones, dtype=float) @ np.linalg.inv(to_cones).T
    size = 4096
    table = linear_table(strength, space, size)
    code = np.interp(linear, table, np.arange(size, dtype=float))
    moved = linear_table(moved_strengths(strength, CURVE_STEP)[1:], space, size)
    seen = np.array([np.interp(code, np.arange(size), each) @ to_cones[1] for each in (table, *moved)])
    logs = np.log(np.maximum(seen, _DARKEST))
    return np.asarray((logs[1:] - logs[0]) / CURVE_STEP)
