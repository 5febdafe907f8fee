"""A tone curve that lies on a colour's luminance, as much as on its channels one by one.

Put on each channel a curve changes how far the channels lie apart, so chroma, in another way at every level; put on
luminance it keeps their ratios. Cameras do something between the two. Neutral cards cannot tell, for their channels lie
together: the colours of a chart can.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from matcher.calibration.patch import LEVELS, Patch
from matcher.calibration.tone_curve import plain_table
from matcher.colorimetry.spaces import Floats
from matcher.photo.decoded import ColourSpace

_DARKEST = 1e-7
_CODES: Floats = np.arange(LEVELS, dtype=float)


@dataclass(frozen=True, slots=True, eq=False)
class OnLuminance:
    """``share`` 0..1 of a curve that lies on luminance, which the file's linear values without any curve, ``plain``
    (256,), make by the weights ``luminance`` (3,).
    """

    share: float
    plain: Floats
    luminance: Floats

    def of_codes(self, codes: Floats, table: Floats) -> Floats:
        """Return linear values (..., 3) of file values (..., 3) under the curve of ``table`` (256,)."""
        linear: Floats = np.interp(codes, _CODES, table)
        return self._shared(linear, np.interp(codes, _CODES, self.plain), table) if self.share else linear

    def of_file_values(self, values: NDArray[np.uint8], table: Floats) -> NDArray[np.float32]:
        """Return linear values (3, N) of a picture's file values (3, N), as :func:`of_codes`, in single precision."""
        if not self.share:
            return table.astype(np.float32).take(values)
        plain = np.maximum(self.plain, _DARKEST)
        own = np.maximum(table, _DARKEST) ** (1 - self.share) * plain**self.share
        luminance = self.luminance.astype(np.float32) @ plain.astype(np.float32).take(values)
        whole = (np.interp(luminance, self.plain, table).astype(np.float32) / luminance) ** np.float32(self.share)
        return np.asarray(own.astype(np.float32).take(values) * whole, dtype=np.float32)

    def of_patch(self, patch: Patch, tables: Floats) -> Floats:
        """Return mean linear values, (3,) or (T, 3), of a patch under the curve of ``tables``, (256,) or (T, 256)."""
        linear = patch.linear(tables)
        if not self.share:
            return linear
        plain = patch.linear(self.plain)
        if tables.ndim == 1:
            return self._shared(linear, plain, tables)
        return np.stack([self._shared(each, plain, table) for each, table in zip(linear, tables, strict=True)])

    def _shared(self, linear: Floats, plain: Floats, table: Floats) -> Floats:
        plain = np.maximum(plain, _DARKEST)
        luminance = plain @ self.luminance
        whole = np.interp(luminance, self.plain, table) / luminance * plain.T
        shared: Floats = np.maximum(linear, _DARKEST) ** (1 - self.share) * np.maximum(whole.T, _DARKEST) ** self.share
        return shared


def on_luminance(share: float, space: ColourSpace) -> OnLuminance:
    """Return how much of a curve lies on luminance in photos of ``space``."""
    return OnLuminance(share, plain_table(space, LEVELS), space.to_xyz[1])


BY_CHANNEL = OnLuminance(0.0, np.linspace(0.0, 1.0, LEVELS), np.full(3, 1 / 3))
"""A curve on each channel alone, which is what is believed without a chart."""
