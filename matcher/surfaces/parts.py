"""What part a colour plays in its surface: field, vein, grout, fleck or board."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

# Assumptions, from how the materials look. A part is thin when the middle of its pieces is never far from an edge.
_THIN = 2.6  # decoded pixels
_GROUT_SHARE = 0.3
_VEIN_ELONGATION = 3.0  # perimeter squared over 4 pi area: 1 for a disc, 3 for a bar six times as long as wide
_FIELD_SHARE = 0.3


def name_part(picture: NDArray[np.uint8], material: str, share: float, *, main: bool) -> str:
    """Return the part of a colour seen as ``picture`` (H, W) of zeros and ones, ``main`` when it is the largest."""
    if material == "timber":
        return "board"
    if main:
        return "field"
    if material in ("tile", "brick"):
        return "grout" if share < _GROUT_SHARE and _thickness(picture) < _THIN else "field"
    if material in ("stone", "laminate", "other"):
        return "vein" if _elongation(picture) > _VEIN_ELONGATION or share >= _FIELD_SHARE else "fleck"
    return "field"


def _thickness(picture: NDArray[np.uint8]) -> float:
    """Return the mean depth of the pieces, pixels from the nearest edge."""
    depth = cv2.distanceTransform(picture, cv2.DIST_L2, 3)
    inside = depth[picture > 0]
    return float(inside.mean()) if inside.size else 0.0


def _elongation(picture: NDArray[np.uint8]) -> float:
    """Return perimeter squared over 4 pi area of the pieces, weighted by their area; specks of noise left out."""
    contours, _ = cv2.findContours(picture, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    areas = np.array([cv2.contourArea(c) for c in contours])
    large = areas >= max(6.0, 0.2 * areas.max()) if areas.size else np.zeros(0, bool)
    if not large.any():
        return 1.0
    values = [
        cv2.arcLength(c, True) ** 2 / (4 * np.pi * a) for c, a, use in zip(contours, areas, large, strict=True) if use
    ]
    return float(np.average(values, weights=areas[large]))
