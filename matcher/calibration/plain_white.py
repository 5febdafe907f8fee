"""The lightest large, plain, near-neutral part of a picture: a painted ceiling, trim, paper, white tile.

It is a proposal, not a card: whether it is white nobody said. Where a picture has such a part, its level is known
better than without one; its colour tells no more of the light than the whole picture does (white paint is often cream).
"""

from __future__ import annotations

from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from matcher.colorimetry.spaces import Floats

# Assumptions, set on rendered rooms (tests/benchmarks/no_card.py). Steps between neighbours of a copy of about 256
# pixels, natural log: across more than these it is not one plain thing.
_PLAIN_LIGHTNESS, _PLAIN_COLOUR = 0.05, 0.03
_BLUR = 1.0
_SMALLEST_SHARE = 0.01
_NEUTRAL = 0.15  # natural log of red or blue against green, from the light's colour
_LIGHT_SHARE, _LIGHT_PERCENTILE = 0.5, 90.0  # of the luminance of the picture's lightest part
_DARKEST = 2e-3


def plain_white(linear: Floats, usable: NDArray[np.bool_], light: Floats) -> NDArray[np.bool_] | None:
    """Return where (H, W) of linear RGB (H, W, 3) the part lies, or None; ``light`` (3,) is the light's colour."""
    logs = cv2.GaussianBlur(np.log(np.maximum(linear, _DARKEST)), (0, 0), _BLUR)
    plain = usable & (_step(logs[..., 1]) < _PLAIN_LIGHTNESS)
    for channel in (0, 2):
        plain &= _step(logs[..., channel] - logs[..., 1]) < _PLAIN_COLOUR
    count, labels, stats, _ = cv2.connectedComponentsWithStats(plain.astype(np.uint8), connectivity=4)
    least = _LIGHT_SHARE * float(np.percentile(linear[usable][:, 1], _LIGHT_PERCENTILE))
    found, lightest = None, least
    for label in range(1, count):
        if stats[label, cv2.CC_STAT_AREA] < _SMALLEST_SHARE * plain.size:
            continue
        part = labels == label
        middle = np.median(linear[part], axis=0)
        off = np.log(np.maximum(middle, _DARKEST) / light)
        if middle[1] > lightest and np.abs(off[[0, 2]] - off[1]).max() < _NEUTRAL:
            found, lightest = part, float(middle[1])
    return found


def _step(values: NDArray[Any]) -> NDArray[Any]:
    across = np.abs(np.diff(values, axis=1, append=values[:, -1:]))
    return np.maximum(across, np.abs(np.diff(values, axis=0, append=values[-1:])))
