"""The contour of an area that is marked in several pieces: what borders on a piece of the same area is no edge."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from matcher.photo.pixels import fill_polygon

Polygon = Sequence[tuple[float, float]]
# Longest side of the mask that pieces are joined on: finer than a picture is shown. Assumption.
_MASK_SIDE = 1600
# Widest gap between two pieces that still belong together, over the longest side: a line left free by drawing, or by a
# tool that cuts an area in two. Assumption.
_GAP_SHARE = 0.0035
# How far a corner may move, in pixels of the mask: not seen under a line.
_TOLERANCE = 1.5


def joined(polygons: Sequence[Polygon], size: tuple[int, int]) -> list[Polygon]:
    """Return the contours of the area that ``polygons`` cover together, holes included; one alone comes back as it is.

    All in pixels of a picture of ``size`` (width, height). Pieces that overlap, touch or lie a hair apart become one.
    """
    if len(polygons) < 2:
        return list(polygons)
    longest = max(size)
    scale = min(1.0, _MASK_SIDE / longest)
    reach = max(1, round(_GAP_SHARE * longest * scale / 2))
    margin = 2 * reach
    # Room on all sides, as closing would else run into the picture's edge.
    width, height = (int(np.ceil(side * scale)) + 2 * margin for side in size)
    mask: NDArray[np.uint8] = np.zeros((height, width), dtype=np.uint8)
    for polygon in polygons:
        fill_polygon(mask, np.asarray(polygon, dtype=float) * scale + margin, 255)
    # A square: a disc would leave a notch at the ends of a closed gap.
    closed = cv2.morphologyEx(mask, cv2.MORPH_CLOSE, np.ones((2 * reach + 1, 2 * reach + 1), dtype=np.uint8))
    found: Sequence[NDArray[Any]] = cv2.findContours(closed, cv2.RETR_CCOMP, cv2.CHAIN_APPROX_NONE)[0]
    lines = (cv2.approxPolyDP(contour, _TOLERANCE, closed=True)[:, 0] for contour in found)
    return [[(float(x), float(y)) for x, y in (line + 0.5 - margin) / scale] for line in lines if len(line) > 2]
