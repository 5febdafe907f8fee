"""A photo made ready to be repainted: what is paint, the light on it, what mirrors; once a photo, for any colour.

The light that a pixel shows is

    seen = paint * light + mirrored,        in linear light under the photo's own tone curve, plus noise,

and repainting replaces ``paint``; what is mirrored stays, and so does the camera's look.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from matcher.calibration.light import cone_matrix
from matcher.calibration.photo_calibration import PhotoCalibration
from matcher.calibration.tone_curve import ToneCurve
from matcher.colorimetry.spaces import Floats
from matcher.photo.decoded import ColourSpace, Photo
from matcher.repaint.area_mask import area_coverage, without_cards
from matcher.repaint.calm_light import calm_light, surroundings, unclipped
from matcher.repaint.edges import core_of, read_edges
from matcher.repaint.encoding import Encoding, encoding_of
from matcher.repaint.lamp import lamp_share
from matcher.repaint.old_paint import OldPaint, find_old_paint
from matcher.repaint.scene import near_white, scene_of
from matcher.repaint.sheen import without_mirrored
from matcher.room.contents import Area, OutlinedSurface
from matcher.surfaces.surface import Surface

Pixels = NDArray[Any]


@dataclass(frozen=True, slots=True, eq=False)
class Prepared:
    """``pixels`` (H, W, 3) the photo under the tone ``curve``; ``index`` (N,) those that hold some of the ``old`` paint
    of ``role``; ``lamp_share`` of the light is lamplight.

    For each of these: ``share`` (N,) of paint, 0..1; ``falling`` (N, 3) the light on it as cones of a perfect white;
    ``paint`` (N, 3) what the paint alone shows there, linear RGB without noise; ``whole`` (N, 3) what the pixel shows,
    ``noise`` (N, 3) the part of that which is noise and ``cut_off`` (N, 3) the part that clipping hid.
    ``burnt_out`` is the share of the area with a channel at white.
    """

    pixels: Pixels
    colour_space: ColourSpace
    encoding: Encoding
    curve: ToneCurve
    role: str
    old: OldPaint
    lamp_share: float
    index: NDArray[np.intp]
    share: NDArray[np.float32]
    falling: NDArray[np.float32]
    paint: NDArray[np.float32]
    whole: NDArray[np.float32]
    noise: NDArray[np.float32]
    cut_off: NDArray[np.float32]
    burnt_out: float

    @property
    def picture_share(self) -> float:
        """The part 0..1 of the picture that is old paint."""
        return float(self.share.sum()) / (self.pixels.size / 3)


def prepare(
    photo: Photo,
    calibration: PhotoCalibration,
    areas: Sequence[Area],
    *,
    outlined: Sequence[OutlinedSurface] = (),
    measured: Mapping[str, Surface] | None = None,
    cards: Sequence[Floats] = (),
    longest_side: int | None = None,
) -> Prepared:
    """Make ``photo`` ready for another paint on ``areas`` (at least one, all of one role).

    ``outlined`` are the photo's surfaces and ``measured`` the room's by name: they tell the old paint and the light.
    ``cards`` are outlines of what lies on them, which stays; ``longest_side`` works on a smaller picture, for previews.
    """
    pixels, scale = _sized(photo, longest_side)
    levels = 1 << 8 * pixels.dtype.itemsize
    encoding = encoding_of(calibration.curve.strength, photo.colour_space, levels)
    light = encoding.light(pixels)
    to_cones = cone_matrix(photo.colour_space).astype(np.float32)
    outlined_area = area_coverage(areas, (pixels.shape[0], pixels.shape[1]), scale)
    coverage = without_cards(outlined_area, cards, scale)
    core = core_of(coverage)
    scene = scene_of(pixels, light, outlined_area, core, to_cones=to_cones, scale=scale, levels=levels)
    old = find_old_paint(scene, photo, calibration, areas, outlined, measured or {}, cards)

    clipped = near_white(pixels, levels)
    whitest = np.maximum.reduce([clipped[..., channel] for channel in range(3)])
    at_white = np.greater(whitest, 0.5)
    lost = np.greater(whitest, 0) & core
    sound = (core & ~at_white).astype(np.float32)
    noise = encoding.log_noise(calibration.noise, levels)[pixels[..., 1]]
    calm = calm_light(light, sound, noise, to_cones, max(pixels.shape))
    shown = light.copy()
    if lost.any():
        calm[lost] = light[lost] = unclipped(light[lost], clipped[lost], surroundings(calm, sound)[lost])
    share, paint = read_edges(light, coverage, core, at_white)
    border = at_white & ~core & (share > 0)
    light[border] += share[border, None] * np.maximum(paint[border] - light[border], 0)
    paint[core] = calm[core]

    index = np.flatnonzero(share)
    paint, whole, shown = (plane.reshape(-1, 3)[index] for plane in (paint, light, shown))
    reflecting = (old.cones + old.gloss).astype(np.float32)
    return Prepared(
        pixels=pixels,
        colour_space=photo.colour_space,
        encoding=encoding,
        curve=calibration.curve,
        role=areas[0].role,
        old=old,
        lamp_share=lamp_share(calibration.lights),
        index=index,
        share=share.ravel()[index],
        falling=without_mirrored((paint @ to_cones.T) / reflecting, old.cones, old.gloss),
        paint=paint,
        whole=whole,
        noise=(whole - paint) * core.ravel()[index][:, None],
        cut_off=whole - shown,
        burnt_out=float(at_white[core].mean()) if core.any() else 0.0,
    )


def _sized(photo: Photo, longest_side: int | None) -> tuple[Pixels, float]:
    height, width = photo.pixels.shape[:2]
    factor = (longest_side or max(height, width)) / max(height, width)
    if factor >= 1:
        return photo.pixels, photo.scale
    size = (max(1, round(width * factor)), max(1, round(height * factor)))
    return np.asarray(cv2.resize(photo.pixels, size, interpolation=cv2.INTER_AREA)), photo.scale * size[0] / width
