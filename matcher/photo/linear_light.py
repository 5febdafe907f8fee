"""Pixels of linear light, from raw or HDR files, put into the standard curve: the form the rest of the pipeline holds.

The level is free, since a card says what white is: it is set by the brightest part of the picture, so that the code
values go where the picture is.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from matcher.colorimetry.spaces import Floats, srgb_encode
from matcher.photo.pixels import by_strips

FULL = 65535
# Assumption: what is brighter than all but this share of the picture is a lamp or a glint, not a card.
_BRIGHTEST_PERCENTILE = 99.98
_HEADROOM = 0.95  # of full scale for the brightest part, so that it does not count as clipped


def in_standard_curve(
    codes: NDArray[np.uint16], linear: Floats, *, least: float, most: float = 1.0
) -> NDArray[np.uint16]:
    """Return (H, W, 3) in the sRGB curve, 16 bits, of ``codes`` (H, W, 3) that stand for ``linear`` (65536,).

    A linear value between ``least`` and ``most`` becomes full scale; above it the picture is clipped.
    """
    brightest = round(float(np.percentile(codes[::2, ::2].max(axis=2), _BRIGHTEST_PERCENTILE)))
    level = min(max(float(linear[brightest]) / _HEADROOM, least), most)
    table = np.rint(FULL * srgb_encode(np.clip(linear / level, 0, 1))).astype(np.uint16)
    return by_strips(lambda strip: table[strip], codes, np.uint16)
