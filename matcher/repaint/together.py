"""Several areas of one photo repainted at once: each changes the light that its own pixels show."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from matcher.repaint.apply import painted_light
from matcher.repaint.prepare import Prepared


def apply_together(areas: Sequence[tuple[Prepared, ArrayLike]]) -> NDArray[Any]:
    """Return the photo (H, W, 3), in its own encoding and depth, with each area in its CIELAB D65/2 (3,).

    ``areas`` (at least one) are prepared from one photo at one size. A pixel on a border holds some of the paint of
    both sides and takes the change of both; pixels that hold none keep their file values.
    """
    first = areas[0][0]
    count = first.pixels.size // 3
    light, added = (np.zeros((count, 3), dtype=np.float32) for _ in range(2))
    for prepared, lab in areas:
        light[prepared.index] = prepared.whole
        added[prepared.index] += painted_light(prepared, lab) - prepared.whole
    index = np.unique(np.concatenate([prepared.index for prepared, _ in areas]))
    values = np.rint(first.encoding.values(light[index] + added[index])).astype(first.pixels.dtype)
    result = first.pixels.copy()
    result.reshape(-1, 3)[index] = values
    return result
