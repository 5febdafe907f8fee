"""One surface read in one photo: its colours as reflectance, with the doubt of each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.calibration.correction import corrected, corrected_shift
from matcher.calibration.light import CURVE_STEP, Light, cone_matrix
from matcher.calibration.light_between import light_between
from matcher.calibration.photo_calibration import PhotoCalibration
from matcher.colorimetry.spaces import Floats, lab_to_xyz
from matcher.errors import Problem, SurfaceError
from matcher.photo.decoded import Photo
from matcher.room.contents import OutlinedSurface
from matcher.surfaces import doubt
from matcher.surfaces.beside_chips import ChipEvidence, points_of
from matcher.surfaces.nearest_chip import NearestChip, nearest_chip
from matcher.surfaces.parts import name_part
from matcher.surfaces.plausible_level import plausible_level
from matcher.surfaces.possible import possible_colours
from matcher.surfaces.region import Region, read_region
from matcher.surfaces.robust import middle
from matcher.surfaces.separation import Separation, separate
from matcher.surfaces.shading import Shading
from matcher.surfaces.surface import SurfaceColour

_MINIMUM_PIXELS = 60
_DARKEST = 1e-5
# What a file cuts off from a channel at 0, one-sigma as a share of the brightest: an ideal yellow that reflects all
# from 520 nm on lies 0.1 below in sRGB (CIE 1931, D65), paints nearer (assumption).
_CUT_OFF = 0.06
_EXPOSURE_SHARE = 0.3  # of a surface at white or black: then exposure is what to change
_ENOUGH = 1500  # pixels to find the middle of a colour by
# Assumption: over how many card widths a pixel's say falls to a third, and what it keeps however far off.
_NEARNESS, _FAR_WEIGHT = 2.0, 1e-3


@dataclass(frozen=True, slots=True, eq=False)
class SurfaceReading:
    """``colours`` largest share first; ``area`` in full-size pixels of its photo; ``photo_area`` of the whole photo;
    ``colour_drift`` of the light across it: how far ln(first cone / third cone) runs; ``left_out`` share of it that was
    set aside as lit otherwise; ``beyond_file`` whether its colour is stronger than the file can hold; ``nearest_chip``
    of those that lie on it.
    """

    name: str
    material: str
    colours: tuple[SurfaceColour, ...]
    area: float
    photo_area: float
    whole_room: bool
    own_card: bool
    colour_drift: float
    left_out: float = 0.0
    beyond_file: bool = False
    nearest_chip: NearestChip | None = None


def read_surface(
    photo: Photo,
    calibration: PhotoCalibration,
    surface: OutlinedSurface,
    *,
    cards: Sequence[Floats],
    noise_left: Floats,
    whole_room: bool,
    where: str,
    chips: ChipEvidence | None = None,
    fall: float = 0.0,
) -> SurfaceReading:
    """Read ``surface`` in ``photo``; ``cards`` are outlines to leave out, ``noise_left`` the covariance (3, 3) in file
    values of what the noise filter leaves; ``chips`` what paint chips in the photo tell; ``fall`` how much less light
    is to be expected there than where the card lies (upright_front.py).

    Raises :class:`SurfaceError` where too few pixels are left to measure, or what they give is no surface's colour.
    """
    outlines = [np.asarray(p, dtype=float) for p in surface.polygons]
    light, own = _light_for(surface.name, calibration, np.concatenate(outlines).mean(axis=0))
    region = read_region(photo, outlines, cards, calibration.noise, card=light if own else None)
    if len(region.values) < _MINIMUM_PIXELS:
        why, remedy = _unusable(region)
        raise SurfaceError(
            Problem(f"{where}: {surface.name}", f"only {len(region.values)} pixels can be used ({why})", remedy)
        )
    to_cones = cone_matrix(photo.colour_space)
    noise = _noise_in_lab(calibration, region, noise_left, to_cones, light)
    cones = _log_cones(calibration, region, to_cones)
    found = separate(region, cones, light, own_card=own, noise=noise, material=surface.material)
    region, shading = found.region, found.shading
    level_sd, colour_sd = _light_doubt(own, surface.material, shading, light, calibration.lights)
    level_sd = float(np.hypot(level_sd, doubt.CLIPPED_LEVEL * region.clipped))
    uncorrected, codes, reach = _group_means(found, light, own_card=own)
    means = corrected(uncorrected, calibration.correction)
    shift: Floats = _curve_shift(calibration, codes, to_cones) - light.curve_shift
    shift = corrected_shift(uncorrected, shift, calibration.correction)
    if not own:
        moved, left = _plausible(means[0], level_sd, fall)
        means, level_sd = means + moved, level_sd * left
    causes = doubt.lab_covariances(
        means,
        level_sd=np.hypot(level_sd, doubt.REACH_LEVEL * reach),
        colour_sd=colour_sd,
        curve=calibration.curve,
        curve_shift=shift,
        camera_sd=calibration.camera_sd,
        chroma_sd=calibration.chroma_sd,
        sheen=doubt.sheen_sd(light.foreshortening) if own else doubt.SHEEN,
    )
    if region.beyond.any():
        causes["camera and lamp"] = causes["camera and lamp"] + _beyond_file(
            calibration, codes, to_cones, means, region
        )
    parts = [
        name_part(region.picture(group.members), surface.material, group.share, main=index == 0)
        for index, group in enumerate(found.groups)
    ]
    shares = [group.share for group in found.groups]
    labs = doubt.reflectance_lab(means)
    nearest = None
    if chips is not None:
        points = points_of(means, shift, light if own else None)
        nearest = nearest_chip(chips, points, np.sum([several[0] for several in causes.values()], axis=0))
        labs, causes = chips.corrected(points, causes)
    split = [{cause: several[index] for cause, several in causes.items()} for index in range(len(labs))]
    colours = zip(labs, np.sum(list(causes.values()), axis=0), shares, parts, split, strict=True)
    return SurfaceReading(
        name=surface.name,
        material=surface.material,
        colours=possible_colours([SurfaceColour(*colour) for colour in colours], f"{where}: {surface.name}"),
        area=region.area,
        photo_area=float(photo.full_size[0] * photo.full_size[1]),
        whole_room=whole_room,
        own_card=own,
        colour_drift=shading.colour_drift(region.positions),
        left_out=region.otherwise_lit,
        beyond_file=bool(region.beyond.any()),
        nearest_chip=nearest,
    )


def _unusable(region: Region) -> tuple[str, str]:
    """Return why so few pixels of a region can be used, and what to do."""
    if not region.area:
        return "the outlines of cards cover it", "Outline a larger part of it, beside the cards"
    if max(region.clipped, region.dark) < _EXPOSURE_SHARE:
        return "the outline is small", "Outline a larger part, or take the photo from nearer"
    if region.clipped >= region.dark:
        return f"{region.clipped:.0%} of it is burnt out", "Take the photo again, darker, or outline a darker part"
    return f"{region.dark:.0%} of it is black in the file", "Take the photo again with more light on it"


def _beyond_file(
    calibration: PhotoCalibration, codes: Floats, to_cones: Floats, means: Floats, region: Region
) -> Floats:
    """Return the covariances (G, 3, 3) in Lab of what the file cut off from colours of file values ``codes`` (G, 3),
    ``means`` (G, 3) as logarithms of cones relative to white.
    """
    linear = calibration.shared.of_codes(codes, calibration.table)
    stronger = linear - _CUT_OFF * linear.max(axis=1, keepdims=True) * region.beyond
    seen, true = (np.log(np.maximum(each @ to_cones.T, _DARKEST)) for each in (linear, stronger))
    step = doubt.reflectance_lab(means + true - seen) - doubt.reflectance_lab(means)
    covariances: Floats = step[:, :, None] * step[:, None]
    return covariances


def _group_means(found: Separation, light: Light, *, own_card: bool) -> tuple[Floats, Floats, Floats]:
    """Return (G, 3) means of each group's flat colour, (G, 3) of its file values, and (G,) its ``reach``: how
    differently its pixels are lit than the card, as the mean of the logarithm's size.

    With a card on the surface nearer pixels count for more. Without one there is no reach to tell.
    """
    means, reach = [], []
    card = found.shading.nearest_seen(light.position)[None]
    for group in found.groups:
        core = np.flatnonzero(group.core)
        core = core[:: 1 + len(core) // _ENOUGH]
        # In columns: see matcher/colorimetry/spaces.py.
        values = np.concatenate([found.flat.T.take(core, axis=1), found.region.values.T.take(core, axis=1)]).T
        positions = found.region.positions[core]
        near = _nearness(positions, light) if own_card else np.ones(len(core))
        means.append(_robust_mean(values, near))
        away = found.shading.level_at(positions) - found.shading.level_at(card)
        reach.append(float(near @ np.abs(away) / near.sum()) if own_card else 0.0)
    both = np.stack(means)
    return both[:, :3], both[:, 3:], np.array(reach)


def _nearness(positions: Floats, card: Light) -> Floats:
    """Return weights at (N, 2) that fall with distance from the card: near it the field has least to carry over."""
    x, y = (positions - card.position).T
    return np.asarray(np.exp(-np.hypot(x, y) / (_NEARNESS * card.extent)) + _FAR_WEIGHT, dtype=float)


def _robust_mean(values: NDArray[Any], weights: Floats) -> Floats:
    """Return the weighted mean of (N, C) values, each channel without what lies beyond three median deviations.

    The median alone would stick to the steps of 8-bit files.
    """
    centre = middle(values)
    away = np.abs(values - centre)
    near = (away <= np.maximum(3 * middle(away), 1e-3)) * weights[:, None]
    return np.asarray((values * near).sum(axis=0) / near.sum(axis=0), dtype=float)


def _light_for(name: str, calibration: PhotoCalibration, centre: Floats) -> tuple[Light, bool]:
    """Return the light of the card on the surface, or else what the other cards lead to expect there."""
    own = [light for light in calibration.lights if light.on == name]
    if own:
        return own[0], True
    return light_between(calibration.lights, centre, lamp=calibration.lamp), False


def _light_doubt(
    own: bool, material: str, shading: Shading, light: Light, lights: Sequence[Light]
) -> tuple[float, Floats]:
    """Return sigmas of the logarithm of the light's level and, by cone (3,), of its colour."""
    if light.guess_sd is not None:
        level, first, third = light.guess_sd.tolist()
        return level, np.array([first, 0.0, third])
    # What chips leave open of the light they stand for is weighed with everything else they tell (beside_chips.py).
    card_level, card_colour = (0.0, 0.0) if own and light.by_chips else light.card_sd
    if own:
        coat = doubt.COAT_LEVEL.get(material, doubt.COAT_LEVEL["other"])
        slant = doubt.SLANT_LEVEL * doubt.mirrored(light.foreshortening)
        # Nothing is known worse of the light beside a card than of that on another surface.
        carried = min(shading.level_sd(light.position), doubt.OTHER_CARD_LEVEL)
        own_level = np.linalg.norm([doubt.OWN_CARD_LEVEL, coat, carried, slant, card_level])
        return float(own_level), doubt.COLOUR_SHAPE * np.hypot(doubt.OWN_CARD_COLOUR, card_colour)
    level = doubt.OTHER_CARD_LEVEL if len(lights) == 1 else doubt.BETWEEN_CARDS_LEVEL
    return float(np.hypot(level, card_level)), doubt.COLOUR_SHAPE * np.hypot(doubt.OTHER_CARD_COLOUR, card_colour)


def _plausible(main: Floats, level_sd: float, fall: float) -> tuple[float, float]:
    """Return how far the level of a surface without its own card is to be moved (logarithm) by what its ``main`` colour
    can be, and what part of the doubt in it is left; ``fall`` as for :func:`read_surface`.
    """
    log_y = float(np.log(lab_to_xyz(doubt.reflectance_lab(main[None]))[0, 1]))
    moved, left = plausible_level(log_y, level_sd, fall)
    return moved, left / level_sd


def _log_cones(calibration: PhotoCalibration, region: Region, to_cones: Floats) -> Floats:
    # In columns: see matcher/colorimetry/spaces.py.
    linear = calibration.shared.of_file_values(region.values.T, calibration.table)
    cones: Floats = np.log(np.maximum(to_cones.astype(np.float32) @ linear, np.float32(_DARKEST))).T
    return cones


def _cones_of_code(calibration: PhotoCalibration, table: Floats, code: Floats, to_cones: Floats) -> Floats:
    """Return logarithms of cone responses, (..., 3), of file values (..., 3) under the curve of ``table``."""
    linear = calibration.shared.of_codes(code, table)
    return np.asarray(np.log(np.maximum(linear @ to_cones.T, _DARKEST)))


def _curve_shift(calibration: PhotoCalibration, codes: Floats, to_cones: Floats) -> Floats:
    """Return (G, 5, 3): how the cones of file values (G, 3) move with each strength of the curve (second axis)."""
    base, *moved = (
        _cones_of_code(calibration, table, codes, to_cones) for table in (calibration.table, *calibration.shifted)
    )
    return (np.stack(moved, axis=1) - base[:, None]) / CURVE_STEP


def _noise_in_lab(
    calibration: PhotoCalibration, region: Region, noise: Floats, to_cones: Floats, light: Light
) -> Floats:
    """Return the covariance (3, 3) in Lab that ``noise`` (3, 3) of file values makes in the surface's middle colour."""
    # Where a fine pattern keeps the filter from its work more is left than on a card, at most what the camera made.
    noise = noise * max(1.0, min(region.noise, 3 * (255 * calibration.noise) ** 2) / float(np.trace(noise)))
    code = middle(region.values).astype(float)
    step = np.sqrt(np.diag(noise))
    codes = code + np.vstack([np.zeros(3), np.diag(step)])
    lab = doubt.reflectance_lab(_cones_of_code(calibration, calibration.table, codes, to_cones) - light.cones)
    slope = ((lab[1:] - lab[0]) / step[:, None]).T
    return np.asarray(slope @ noise @ slope.T)
