"""Pixels as a screen shows them: 8 bits, sRGB."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.colorimetry.spaces import Floats, srgb_encode, xyz_to_linear_srgb
from matcher.photo.model import ColourSpace


def eight_bits(pixels: NDArray[Any]) -> NDArray[np.uint8]:
    """Return ``pixels`` of 8 or 16 bits in 8 bits."""
    return pixels if pixels.dtype == np.uint8 else (pixels >> 8).astype(np.uint8)


def to_srgb(pixels: NDArray[np.uint8], space: ColourSpace) -> NDArray[np.uint8]:
    """Return ``pixels`` (..., 3) of ``space`` encoded in sRGB, clipped to its gamut; sRGB's own stay as they are."""
    if space.name == "sRGB":
        return pixels
    positions = np.linspace(0, 1, len(space.decode_table))
    decode = np.interp(np.arange(256) / 255, positions, space.decode_table)
    xyz: Floats = decode[pixels] @ np.asarray(space.to_xyz).T
    encoded = srgb_encode(np.clip(xyz_to_linear_srgb(xyz), 0, 1))
    return np.asarray(np.rint(encoded * 255), dtype=np.uint8)
