"""A square of a surface's own pixels, to look at beside its measured colours."""

from __future__ import annotations

from collections.abc import Sequence

import cv2
import numpy as np
from numpy.typing import NDArray

from matcher.photo.decoded import Photo
from matcher.photo.pixels import as_eight_bits
from matcher.surfaces.outline_mask import outline_mask

# Assumption: larger shows no more of a pattern on a screen, and weighs more.
_LARGEST = 360
_SQUARE_IN_CIRCLE = 0.7  # side over diameter is 0.707

Polygon = Sequence[tuple[float, float]]


def inside_square(photo: Photo, outlines: Sequence[Polygon], cards: Sequence[Polygon]) -> NDArray[np.uint8]:
    """Return (N, N, 3) file values from the roomiest place inside ``outlines`` (full-size pixels), off the cards."""
    found = outline_mask(
        photo,
        [np.asarray(outline, dtype=float) for outline in outlines],
        [np.asarray(card, dtype=float) for card in cards],
        None,
    )
    framed = cv2.copyMakeBorder(found.mask, 1, 1, 1, 1, cv2.BORDER_CONSTANT, value=0)
    distance = cv2.distanceTransform(framed, cv2.DIST_L2, 3)
    row, column = np.unravel_index(int(distance.argmax()), distance.shape)
    side = int(min(max(2 * float(distance[row, column]) * _SQUARE_IN_CIRCLE, 2), _LARGEST))
    height, width = photo.pixels.shape[:2]
    top = int(np.clip(found.origin[1] + row - 1 - side // 2, 0, max(height - side, 0)))
    left = int(np.clip(found.origin[0] + column - 1 - side // 2, 0, max(width - side, 0)))
    return as_eight_bits(photo.pixels[top : top + side, left : left + side])
