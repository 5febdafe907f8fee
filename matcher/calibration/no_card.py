"""A photo without any neutral reference: its light guessed from the picture itself, with the doubt that this leaves.

The colour of the light is the mean of two statistics (scene_statistics.py), its level that of an interior of usual
reflectance, together with the lightest plain part where there is one (plain_white.py). Nothing of this is a measurement
of the light: it is what rooms are like.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from matcher.calibration.correction import chroma_factor_sd, unknown_camera_correction, unknown_camera_sd
from matcher.calibration.curve_fit import fit_tone_curve
from matcher.calibration.lamp import lamp_share, warmth_of
from matcher.calibration.light import CURVE_STEP, Light, cone_matrix, decode_tables
from matcher.calibration.patch import LEVELS
from matcher.calibration.photo_calibration import PhotoCalibration
from matcher.calibration.plain_white import plain_white
from matcher.calibration.scene_statistics import grey_edge, shades_of_grey
from matcher.calibration.tone_curve import ToneCurve
from matcher.colorimetry.spaces import Floats
from matcher.errors import CardError, Problem
from matcher.photo.decoded import ColourSpace, Finding, Photo
from matcher.photo.pixels import as_eight_bits

_WORK_SIDE_PX = 256
_CLIPPED, _BLACK = 253, 3  # file values beyond which a channel tells nothing
_HALF = 0.5
_LEAST_USABLE = 0.2  # of the picture: assumption
_ORDER, _EDGE_SIGMA = 6.0, 1.0  # Minkowski order of both statistics and blur in pixels: the usual choice
# Measured on rendered photos (tests/benchmarks/no_card.py). Rooms are warm: timber, stone and cream walls make both
# statistics take the light for warmer than it is, and cameras balance a part of it out. So this part of the way from
# the file's own white to the statistics is gone.
_BELIEVED = 0.75
# The Minkowski mean of luminance of this order, against that of a white where cards lie: measured as above, 0.50 at the
# mean and 0.35 to 0.71 within one sigma. The plain mean is 0.32 of it, 0.22 to 0.48.
_SCENE_ORDER, _SCENE_REFLECTANCE = 4.0, 0.52
# The lightest plain part: white paint of 0.8 to 0.85, mostly in a little less light than the cards lie in.
_WHITE_REFLECTANCE = 0.75
# What the guess leaves open of the level anywhere in the picture, one-sigma of the logarithm, and of the first and
# third cone against it: fitted as above so that the stated intervals hold the surfaces' truth (errors at the cards:
# 0.45 without a white, 0.25 with one; 0.036 and 0.086). The first is wider than that, since few of these rooms hold
# much red or green. The statistics alone err here as on photographs (scene_statistics.py), so this goes for those too.
_LEVEL_SD, _LEVEL_SD_WITH_WHITE = 0.36, 0.26
COLOUR_SD = (0.05, 0.11)
# The calmest tenth of windows of 9 pixels, neither dark nor burnt out, has the spread that cards show in the same
# photos (1.2 against 1.5 of 255 at the median, 4.2 against 4.3 in noisy ones).
_WINDOW, _ROWS_STEP, _CALMEST = 9, 6, 10.0
_DARK, _LIGHT = 30, 235
_LEAST_NOISE = 0.5 / 255  # file values are whole numbers


@dataclass(frozen=True, slots=True, eq=False)
class _Scene:
    """A small copy: ``pixels`` (H, W, 3) file values, ``usable`` (H, W) where they are neither clipped nor black."""

    pixels: NDArray[np.uint8]
    usable: NDArray[np.bool_]
    space: ColourSpace

    def colour(self, table: Floats) -> Floats:
        """Return logarithms (3,) of the light's linear RGB, green 0."""
        linear = self.linear(table)
        statistics = (
            shades_of_grey(linear[self.usable], _ORDER),
            grey_edge(linear, self.usable, _ORDER, _EDGE_SIGMA),
        )
        return np.asarray(_BELIEVED * np.mean([np.log(each / each[1]) for each in statistics], axis=0))

    def level(self, table: Floats, white: NDArray[np.bool_] | None) -> float:
        """Return the logarithm of the luminance of a perfect white."""
        luminance = np.maximum(self.linear(table) @ self.space.to_xyz[1], 1e-6)
        # Clipped pixels count here: burnt-out parts are light ones.
        level = np.log(np.mean(luminance**_SCENE_ORDER)) / _SCENE_ORDER - np.log(_SCENE_REFLECTANCE)
        if white is not None:
            level = (level + np.log(np.median(luminance[white]) / _WHITE_REFLECTANCE)) / 2
        return float(level)

    def linear(self, table: Floats) -> Floats:
        """Return linear RGB (H, W, 3)."""
        return np.asarray(table.astype(np.float32)[self.pixels])


def calibrate_without_card(photo: Photo, where: str, *, believed: ToneCurve | None = None) -> PhotoCalibration:
    """Guess the light of a photo; ``believed`` is the tone curve that other photos of the same camera tell.

    The calibration has no patches and one light, on no surface. Raises :class:`CardError` where too little of the
    picture is neither burnt out nor black.
    """
    pixels = as_eight_bits(photo.pixels)
    scene = _scene(pixels, photo.colour_space)
    if scene.usable.mean() < _LEAST_USABLE:
        raise CardError(
            Problem(where, "no neutral reference is outlined, and most of the picture is burnt out or black, so that "
                    "its light cannot be guessed either",
                    "Take the photo again, neither too bright nor too dark, with a grey card lying on the surface")
        )  # fmt: skip
    space = photo.colour_space
    curve = fit_tone_curve((), space, believed)
    table, shifted = decode_tables(curve, space)
    colour = scene.colour(table)
    white = plain_white(scene.linear(table), scene.usable, np.exp(colour))
    cones = _cones(scene, table, colour, white)
    moved = [_cones(scene, each, scene.colour(each), white) for each in shifted]
    width, height = photo.full_size
    light = Light(
        position=np.array([width / 2, height / 2]),
        extent=float(max(width, height)),
        foreshortening=1.0,
        cones=cones,
        on=None,
        curve_shift=(np.stack(moved) - cones) / CURVE_STEP,
        guess_sd=np.array([_LEVEL_SD if white is None else _LEVEL_SD_WITH_WHITE, *COLOUR_SD]),
    )
    lamp = lamp_share(warmth_of(np.exp(colour)))
    developed = not space.tone_known
    return PhotoCalibration(
        patches=(),
        curve=curve,
        table=table,
        shifted=shifted,
        cast=None,
        lights=(light,),
        noise=_noise(pixels),
        findings=(Finding("light guessed", "warn") if white is None else Finding("light guessed by white", "warn"),),
        camera_sd=unknown_camera_sd(lamp),
        chroma_sd=chroma_factor_sd(developed=developed),
        correction=unknown_camera_correction(lamp, developed=developed),
        lamp=lamp,
    )


def picture_light(photo: Photo, table: Floats) -> Floats | None:
    """Return the logarithm (3,) of the cone responses to the light that the picture's statistics give, at any level.

    ``table`` decodes file values. None where too little of the picture can be used.
    """
    # For a rough look every third pixel or so is enough, and quicker than averaging them all.
    step = max(1, max(photo.pixels.shape) // (2 * _WORK_SIDE_PX))
    scene = _scene(as_eight_bits(photo.pixels[::step, ::step]), photo.colour_space)
    if scene.usable.mean() < _LEAST_USABLE:
        return None
    return np.asarray(np.log(cone_matrix(scene.space) @ np.exp(scene.colour(table))))


def _cones(scene: _Scene, table: Floats, colour: Floats, white: NDArray[np.bool_] | None) -> Floats:
    """Return the logarithm (3,) of the cone responses to a perfect white."""
    light = np.exp(colour)
    level = scene.level(table, white) - np.log(scene.space.to_xyz[1] @ light)
    return np.asarray(np.log(cone_matrix(scene.space) @ light) + level)


def _scene(pixels: NDArray[np.uint8], space: ColourSpace) -> _Scene:
    height, width = pixels.shape[:2]
    shrink = min(1.0, _WORK_SIDE_PX / max(height, width))
    size = (max(1, round(width * shrink)), max(1, round(height * shrink)))
    red, green, blue = cv2.split(np.ascontiguousarray(pixels))
    brightest = cv2.max(cv2.max(red, green), blue)
    lost = ((brightest >= _CLIPPED) | (brightest <= _BLACK)).astype(np.float32)
    usable = cv2.resize(lost, size, interpolation=cv2.INTER_AREA) < _HALF
    small = as_eight_bits(cv2.resize(pixels, size, interpolation=cv2.INTER_AREA))
    return _Scene(small, usable, space)


def _noise(pixels: NDArray[np.uint8]) -> float:
    """Return one-sigma of a file value 0..1, as the calmest windows of the picture show it."""
    down, across = (side // _WINDOW * _WINDOW for side in pixels.shape[:2])
    if not down * across:
        return _LEAST_NOISE
    rows = pixels[:down, :across].reshape(-1, _WINDOW, across // _WINDOW, _WINDOW, 3)[::_ROWS_STEP]
    windows = rows.transpose(0, 2, 1, 3, 4).reshape(-1, _WINDOW**2, 3).astype(np.float32)
    light = windows.mean(axis=(1, 2))
    seen = windows[(light > _DARK) & (light < _LIGHT)]
    if not len(seen):
        return _LEAST_NOISE
    spread = np.median(np.percentile(seen.std(axis=1), _CALMEST, axis=0)) / (LEVELS - 1)
    return max(float(spread), _LEAST_NOISE)
