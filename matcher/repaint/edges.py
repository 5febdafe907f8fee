"""The border of the area: how much old paint is in each pixel there, and what that paint looks like.

An outline is drawn to a pixel or two, and a camera's pixel on an edge holds some of both sides. Where the two sides
differ, the share of paint is read from the pixel itself; where they look alike, the outline says.
"""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from matcher.repaint.quiet import Plane, spread_inside

# Assumptions, in pixels: how far to each side of the outline a pixel may hold both; from how far its two sides are
# judged; how far from the outline's own share the one that is read may lie.
_INWARD, _OUTWARD = 2, 1
_REACH = 2.0
_MOST_OFF = 0.75
# Relative difference of the two sides at which the pixel and the outline have equal say.
_TELLING = 0.12
_NONE = np.float32(1e-9)


def core_of(coverage: Plane) -> NDArray[np.bool_]:
    """Return which pixels (H, W) lie far enough inside the outline to hold nothing but paint."""
    return _eroded(coverage >= 1.0, _INWARD)


def read_edges(
    light: NDArray[np.float32], coverage: Plane, core: NDArray[np.bool_], clipped: NDArray[np.bool_]
) -> tuple[Plane, NDArray[np.float32]]:
    """Return the share (H, W) of paint and what the paint alone looks like (H, W, 3), both sound in the border only.

    ``light`` (H, W, 3) is linear, ``coverage`` the outline's share of each pixel, ``clipped`` (H, W) where a pixel
    is at white and tells nothing.
    """
    outside = _eroded(coverage <= 0.0, _OUTWARD)
    paint = spread_inside(light, core.astype(np.float32), _REACH)
    beyond = spread_inside(light, outside.astype(np.float32), _REACH)
    border = ~(core | outside)
    share = core.astype(np.float32)
    share[border] = _shares(light[border], paint[border], beyond[border], coverage[border], clipped[border])
    return share, paint


def _shares(
    seen: NDArray[np.float32],
    paint: NDArray[np.float32],
    beyond: NDArray[np.float32],
    drawn: NDArray[np.float32],
    clipped: NDArray[np.bool_],
) -> NDArray[np.float32]:
    """Return (N,) the share of paint in pixels ``seen`` (N, 3) between two sides, ``drawn`` (N,) by the outline."""
    apart = paint - beyond
    size = (apart * apart).sum(axis=-1)
    read = ((seen - beyond) * apart).sum(axis=-1) / np.maximum(size, _NONE)
    scale = np.maximum((paint * paint).sum(axis=-1), (beyond * beyond).sum(axis=-1))
    say = size / (size + np.float32(_TELLING**2) * scale + _NONE)
    known = (paint.sum(axis=-1) > 0) & (beyond.sum(axis=-1) > 0) & ~clipped
    read = np.clip(read, drawn - np.float32(_MOST_OFF), drawn + np.float32(_MOST_OFF))
    share = np.clip(np.where(known, say * read + (1 - say) * drawn, drawn), 0, 1)
    # What is beyond the paint is light too, not less than none.
    most = (seen / np.maximum(paint, _NONE)).min(axis=-1)
    return np.asarray(np.where(clipped, share, np.minimum(share, most)), dtype=np.float32)


def _eroded(mask: NDArray[np.bool_], pixels: int) -> NDArray[np.bool_]:
    size = 2 * pixels + 1
    kernel = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (size, size))
    # What lies beyond the picture's edge counts as more of the same.
    inner = cv2.erode(mask.astype(np.uint8), kernel, borderType=cv2.BORDER_REPLICATE)
    return np.asarray(inner, dtype=bool)
