"""Several roles painted in one picture: what each new paint changes is added up in linear light.

Light adds where the camera's pixel holds two things, as on the edge between a wall and its trim, so the sum is what the
camera would have seen, and the order of the roles cannot matter. Each role's paint lights itself as if it were painted
alone (bounce.py): what walls do to the light on everything else is not shown, as with one role.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from matcher.repaint.apply import painted_light
from matcher.repaint.prepare import Prepared

Part = tuple[Prepared, ArrayLike]
"""A role of the photo made ready, and the CIELAB D65/2 (3,) that is to lie on its areas."""


def apply_together(parts: Sequence[Part]) -> NDArray[Any]:
    """Return the photo (H, W, 3), in its own encoding and depth, with every one of ``parts`` (at least one) painted.

    The parts are of one photo at one size. Pixels that hold none of the old paints keep their file values.
    """
    return encoded_together(parts, [painted_light(prepared, lab) for prepared, lab in parts])


def encoded_together(parts: Sequence[Part], painted: Sequence[NDArray[np.float32]]) -> NDArray[Any]:
    """Return the photo with what :func:`matcher.repaint.apply.painted_light` made of each part, linear RGB (N, 3).

    Where areas lie over each other the smaller one is what is seen: a window's trim drawn on top of the wall round it.
    """
    first = parts[0][0]
    result = first.pixels.copy()
    count = result.shape[0] * result.shape[1]
    free, touched = np.ones(count, np.float32), np.zeros(count, bool)
    before, change = np.zeros((count, 3), np.float32), np.zeros((count, 3), np.float32)
    for number in sorted(range(len(parts)), key=lambda one: (parts[one][0].picture_share, parts[one][0].role)):
        prepared = parts[number][0]
        index = prepared.index
        taken = np.minimum(prepared.share, free[index])
        free[index] -= taken
        touched[index] = True
        before[index] = np.maximum(before[index], prepared.whole)
        change[index] += (taken / prepared.share)[:, None] * (painted[number] - prepared.whole)
    index = np.flatnonzero(touched)
    values = first.encoding.values(before[index] + change[index])
    result.reshape(-1, 3)[index] = np.rint(values).astype(result.dtype)
    return result
