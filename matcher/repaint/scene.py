"""A small version of a photo, to compare places in."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

_WIDTH = 400  # pixels; enough to tell places apart
# Assumption: file values 0..1 between which a channel comes to tell nothing, as a tone curve's shoulder flattens; and
# below which it tells nothing.
_NEAR_WHITE, _WHITE, _BLACK = 0.92, 0.98, 0.01
_DARKEST = np.float32(1e-5)


@dataclass(frozen=True, slots=True, eq=False)
class Scene:
    """``cones`` (H, W, 3) the light; ``usable`` (H, W) where that is neither clipped nor black; ``inside`` (H, W) the
    area and ``core`` (H, W) what is well inside it; ``scale`` its width over the full-size width.
    """

    cones: NDArray[np.float32]
    usable: NDArray[np.bool_]
    inside: NDArray[np.bool_]
    core: NDArray[np.bool_]
    scale: float


def near_white(pixels: NDArray[Any], levels: int) -> NDArray[np.float32]:
    """Return (H, W, 3) from 0, where a file value of ``levels`` is sound, to 1, where it is at white."""
    steps = np.clip((np.arange(levels) / (levels - 1) - _NEAR_WHITE) / (_WHITE - _NEAR_WHITE), 0, 1)
    white: NDArray[np.float32] = steps.astype(np.float32)[pixels]
    return white


def scene_of(
    pixels: NDArray[Any],
    light: NDArray[np.float32],
    coverage: NDArray[np.float32],
    core: NDArray[np.bool_],
    *,
    to_cones: NDArray[np.float32],
    scale: float,
    levels: int,
) -> Scene:
    """Return the small version of ``pixels`` (H, W, 3) with linear ``light`` (H, W, 3) and the area's masks (H, W)."""
    height, width = coverage.shape
    factor = min(1.0, _WIDTH / width)
    size = (max(1, round(width * factor)), max(1, round(height * factor)))

    def small(plane: NDArray[Any]) -> NDArray[np.float32]:
        return np.asarray(cv2.resize(plane.astype(np.float32), size, interpolation=cv2.INTER_AREA))

    channels = [pixels[..., channel] for channel in range(3)]
    brightest, darkest = np.maximum.reduce(channels), np.minimum.reduce(channels)
    usable = np.less(brightest, _WHITE * (levels - 1)) & np.greater(darkest, _BLACK * (levels - 1))
    return Scene(
        cones=np.maximum(small(light) @ to_cones.T, _DARKEST),
        usable=small(usable) > 0.99,
        inside=small(coverage) > 0.5,
        core=small(core) > 0.99,
        scale=scale * size[0] / width,
    )
