"""File values to light and back, under the tone curve that the photo's cards showed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.calibration.tone_curve import linear_table
from matcher.colorimetry.spaces import Floats
from matcher.photo.decoded import ColourSpace

_STEPS = 1 << 14  # of the square root of light: finer than an 8-bit file value everywhere
_DARKEST = 1e-5


@dataclass(frozen=True, slots=True, eq=False)
class Encoding:
    """``decode`` (256 or 65536,) light 0..1 of each file value; ``encode`` (steps,) file value, unrounded, at even
    steps of the square root of light 0..1.
    """

    decode: NDArray[np.float32]
    encode: NDArray[np.float32]

    def light(self, values: NDArray[Any]) -> NDArray[np.float32]:
        """Return light 0..1 of file values, any shape."""
        light: NDArray[np.float32] = self.decode[values]
        return light

    def log_noise(self, sigma: float, levels: int) -> NDArray[np.float32]:
        """Return (levels,) one-sigma of the logarithm of light that noise of ``sigma`` (file value 0..1) makes."""
        slope = np.gradient(self.decode) * (sigma * (levels - 1))
        return np.asarray(slope / np.maximum(self.decode, np.float32(_DARKEST)), dtype=np.float32)

    def values(self, light: NDArray[np.float32]) -> NDArray[np.float32]:
        """Return unrounded file values of light, any shape; what is below 0 or above 1 is clipped, as a camera does."""
        root = np.sqrt(np.clip(light, 0.0, 1.0))
        return self.encode[(root * (_STEPS - 1) + np.float32(0.5)).astype(np.int32)]


def encoding_of(strength: Floats, space: ColourSpace, levels: int) -> Encoding:
    """Return the encoding of a photo of ``levels`` file values with these strengths of its tone curve."""
    table = linear_table(strength, space, levels)
    steps = np.linspace(0.0, 1.0, _STEPS) ** 2
    encode = np.interp(steps, table, np.arange(levels, dtype=float))
    return Encoding(table.astype(np.float32), encode.astype(np.float32))
