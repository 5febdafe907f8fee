"""What a straightforward pipeline makes of the same photo, for comparison.

Plain sRGB decode, the first grey card's mean to divide every channel by (von Kries in linear RGB), its reflectance as
the level for the whole picture, and the mean of all pixels inside a surface's outlines.
"""

from __future__ import annotations

from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from matcher.colorimetry.spaces import Floats, linear_srgb_to_xyz, srgb_decode, xyz_to_lab
from matcher.photo.reading import read_photo
from tests.benchmarks.truth import TruePhoto

_FULL_SIZE = 100_000


def straightforward_labs(truth: TruePhoto) -> dict[str, Floats]:
    """Return CIELAB D65/2 (3,) of each surface of the photo."""
    pixels = read_photo(truth.path, longest_side=_FULL_SIZE).pixels
    table = srgb_decode(np.linspace(0, 1, 256))
    _, reflectance, outline, _ = next(card for card in truth.cards if card[0] == "grey card")
    gains = reflectance / _mean(pixels, table, [outline])
    return {
        surface.name: xyz_to_lab(linear_srgb_to_xyz(_mean(pixels, table, surface.outlines) * gains))
        for surface in truth.surfaces
    }


def _mean(pixels: NDArray[Any], table: Floats, outlines: list[list[list[float]]]) -> Floats:
    mask = np.zeros(pixels.shape[:2], np.uint8)
    for outline in outlines:
        cv2.fillPoly(mask, [np.round(np.asarray(outline) - 0.5).astype(np.int32)], 1)
    mean: Floats = table[pixels[mask > 0]].mean(axis=0)
    return mean
