"""A flat scene with a known truth: a painted panel with a hole, a card, a coloured ground, under slanting light.

Pixels are means over 6 x 6 points in linear light, as a camera's are, so edges mix exactly. sRGB after IEC 61966-2-1.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from matcher.calibration.photo_calibration import calibrate
from matcher.colorimetry.spaces import lab_to_xyz, srgb_encode, xyz_to_linear_srgb
from matcher.photo.colour_space import srgb
from matcher.photo.decoded import ColourSpace, Photo
from matcher.repaint.prepare import Prepared, prepare
from matcher.room.contents import Area, MeasuredSurface, Reference
from matcher.room.measured import measured as read_measured
from matcher.surfaces.instrument import instrument_surface

WIDTH, HEIGHT, FINE = 320, 240, 6
PANEL = [(60.3, 40.7), (271.2, 52.4), (262.8, 200.1), (71.6, 187.9)]
HOLE = [(140.4, 90.2), (181.7, 93.3), (178.9, 131.8), (138.2, 128.6)]
CARD = [(8.0, 90.0), (40.0, 90.0), (40.0, 130.0), (8.0, 130.0)]
GROUND, IN_THE_HOLE = (60.0, 12.0, 25.0), (78.0, -4.0, 8.0)

Lab = Sequence[float]


def inside(polygon: Sequence[tuple[float, float]]) -> NDArray[np.bool_]:
    """Return which of the fine points lie inside."""
    mask = np.zeros((HEIGHT * FINE, WIDTH * FINE), np.uint8)
    cv2.fillPoly(mask, [np.round((np.array(polygon) * FINE - 0.5) * 16).astype(np.int32)], 1, shift=4)
    return mask.astype(bool)


def linear(paint: Lab, *, strength: float = 0.9) -> NDArray[np.float64]:
    """Return the light (H, W, 3) of the scene with the panel in ``paint``, linear sRGB before clipping."""
    colours = [*(xyz_to_linear_srgb(lab_to_xyz(lab)) for lab in (GROUND, paint, IN_THE_HOLE)), np.full(3, 0.18)]
    return np.asarray(strength * (_lit_shares() @ np.stack(colours)))


@cache
def _lit_shares() -> NDArray[np.float64]:
    """Return how much each pixel has of ground, panel, hole and card, times the light there (H, W, 4)."""
    seen = np.zeros((HEIGHT * FINE, WIDTH * FINE), np.uint8)
    for number, polygon in enumerate((PANEL, HOLE, CARD), start=1):
        seen[inside(polygon)] = number
    across = np.linspace(1.0, 0.7, WIDTH * FINE)[None, :]
    lit = [((seen == number) * across).reshape(HEIGHT, FINE, WIDTH, FINE).mean(axis=(1, 3)) for number in range(4)]
    return np.stack(lit, axis=-1)


def picture(paint: Lab, *, noise: float = 0.0, strength: float = 0.9, levels: int = 256) -> NDArray[Any]:
    """Return the scene's file values, with ``noise`` (one-sigma, file values 0..255)."""
    encoded = srgb_encode(np.clip(linear(paint, strength=strength), 0, 1))
    encoded = encoded + np.random.default_rng(1).standard_normal(encoded.shape) * noise / 255
    return np.rint(np.clip(encoded, 0, 1) * (levels - 1)).astype(np.uint8 if levels == 256 else np.uint16)


def photo(pixels: NDArray[Any], space: ColourSpace | None = None) -> Photo:
    """Return ``pixels`` as a decoded photo."""
    return Photo(Path("scene.png"), pixels, (WIDTH, HEIGHT), 1.0, space or srgb(), ())


def prepared(
    pixels: NDArray[Any], old: Lab | None, *, role: Any = "accent", holes: Sequence[Any] = (HOLE,), **options: Any
) -> Prepared:
    """Return the scene ready for paint on the panel, whose paint an instrument read as ``old``."""
    shot = photo(pixels, options.pop("space", None))
    reference = Reference(kind="grey card", reflectance=0.18, outline=tuple(CARD))
    area = Area(role=role, outlines=(tuple(PANEL),), holes=tuple(tuple(hole) for hole in holes))
    measured = {}
    if old is not None:
        read = MeasuredSurface(name=role, material="paint", lab=tuple(old))
        measured[role], _ = instrument_surface(read_measured(read, None), 1.0)
    return prepare(shot, calibrate(shot, [reference], "scene"), [area], measured=measured, **options)
