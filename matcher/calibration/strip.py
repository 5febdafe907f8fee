"""Fields side by side in one outline, sharing its long side evenly: the steps of a scale, the chips of a strip."""

from __future__ import annotations

from collections.abc import Sequence

import cv2
import numpy as np

Point = tuple[float, float]
Outline = tuple[Point, ...]

# Half the inner part of a field, along the strip and across it, as shares of the field: borders and rim are left out.
OF_STEP = (0.3, 0.36)
# With the clearance that every card gets (surfaces/outline_mask.py) chips cover their strip, and no rest of it passes
# for the surface below.
OF_CHIP = (0.385, 0.385)


def strip_fault(outline: Sequence[Point]) -> str | None:
    """Return why an outline is not that of a strip seen from anywhere, or None: four corners, none bent inwards."""
    if len(outline) != 4:
        return f"the outline has {len(outline)} points"
    points = np.asarray(outline, dtype=float)
    edges = np.roll(points, -1, axis=0) - points
    following = np.roll(edges, -1, axis=0)
    turns = edges[:, 0] * following[:, 1] - edges[:, 1] * following[:, 0]
    return None if (turns > 0).all() or (turns < 0).all() else "a corner of the outline is bent inwards"


def strip_fields(outline: Sequence[Point], count: int, inner: tuple[float, float]) -> list[Outline]:
    """Return the ``inner`` part of each of ``count`` fields of an outline without a :func:`strip_fault`, in photo
    pixels, from one end of its longer side to the other: what is even on the strip is even in its perspective.
    """
    points = np.asarray(outline, dtype=np.float32)
    sides = np.linalg.norm(points - np.roll(points, -1, axis=0), axis=1)
    if sides[0] + sides[2] < sides[1] + sides[3]:
        points = np.roll(points, -1, axis=0)
    flat = np.array([[0, 0], [count, 0], [count, 1], [0, 1]], dtype=np.float32)
    to_photo = cv2.getPerspectiveTransform(flat, points)
    corners = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * inner
    fields = [np.array([index + 0.5, 0.5]) + corners for index in range(count)]
    mapped = cv2.perspectiveTransform(np.stack(fields).astype(np.float32), to_photo)
    return [tuple((float(x), float(y)) for x, y in field) for field in mapped]
