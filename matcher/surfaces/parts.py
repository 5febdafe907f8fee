"""What part a colour plays in its surface: field, vein, grout, fleck or board."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

# Assumptions, from how the materials look. A part is thin when the middle of its pieces is never far from an edge.
_THIN = 2.6  # decoded pixels
_GROUT_SHARE = 0.3
_VEIN_LENGTH = 20.0  # decoded pixels: a sample tile cuts a vein into pieces, a fleck is smaller than a tile
_VEIN_SLENDERNESS = 2.2  # length squared over area: 1.3 for a disc, 2 for a square measured across its corners
_VEIN_SHARE = 0.5  # of the colour in such pieces


def name_part(picture: NDArray[np.uint8], material: str, share: float, *, main: bool) -> str:
    """Return the part of a colour seen as ``picture`` (H, W) of zeros and ones, ``main`` when it is the largest."""
    if material == "timber":
        return "board"
    if main:
        return "field"
    if material in ("tile", "brick"):
        return "grout" if share < _GROUT_SHARE and _thickness(picture) < _THIN else "field"
    if material in ("stone", "laminate", "other"):
        return "vein" if _drawn_out(picture) > _VEIN_SHARE else "fleck"
    return "field"


def _thickness(picture: NDArray[np.uint8]) -> float:
    """Return the mean depth of the pieces, pixels from the nearest edge."""
    depth = cv2.distanceTransform(picture, cv2.DIST_L2, 3)
    inside = depth[picture > 0]
    return float(inside.mean()) if inside.size else 0.0


def _drawn_out(picture: NDArray[np.uint8]) -> float:
    """Return the share of the colour's area in pieces that are long against their own width, or reach far."""
    _, _, stats, _ = cv2.connectedComponentsWithStats(picture, connectivity=8)
    width, height, area = (
        stats[1:, i].astype(float) for i in (cv2.CC_STAT_WIDTH, cv2.CC_STAT_HEIGHT, cv2.CC_STAT_AREA)
    )
    if not area.size:
        return 0.0
    length = np.hypot(width, height)
    long = (length >= _VEIN_LENGTH) & (area < length**2 / _VEIN_SLENDERNESS)
    return float(area[long].sum() / area.sum())
