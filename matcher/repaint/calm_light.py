"""What the old paint shows without the camera's noise, also where it is clipped."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from matcher.repaint.quiet import Plane, quietened, spread_inside

# Assumptions: the noise filter's window over the picture's longer side; how much stronger than the noise a difference
# has to be to count as shading; how far the colour of light is taken to be even, over the same.
_WINDOW = 1 / 400
_SHADING_SIGMAS = 3.0
_EVEN_COLOUR = 1 / 250
_DARKEST = np.float32(1e-5)
_ENOUGH = np.float32(0.25)  # share of a coarse pixel that has to be sound for it to speak for itself alone


def calm_light(
    light: NDArray[np.float32], sound: Plane, noise: Plane, to_cones: NDArray[np.float32], longest: int
) -> NDArray[np.float32]:
    """Return linear RGB (H, W, 3) without noise: brightness keeps every edge, colour is taken to change slowly.

    ``sound`` (H, W) is 1 for pixels of nothing but paint; ``noise`` (H, W) one-sigma of the logarithm of light;
    ``longest`` the longer side of the whole picture in pixels.
    """
    cones = np.asarray(cv2.log(np.maximum(cv2.transform(light, to_cones), _DARKEST)), dtype=np.float32)
    level = np.ascontiguousarray(cones[..., 1], dtype=np.float32)
    calm = quietened(level, sound, np.float32(_SHADING_SIGMAS) * noise, max(2, round(_WINDOW * longest)))
    slow = spread_inside(cones - level[..., None], sound, _EVEN_COLOUR * longest)
    back = np.linalg.inv(to_cones).astype(np.float32)
    return np.asarray(cv2.transform(cv2.exp(slow + calm[..., None]), back), dtype=np.float32)


def unclipped(
    seen: NDArray[np.float32], clipped: NDArray[np.float32], around: NDArray[np.float32]
) -> NDArray[np.float32]:
    """Return (N, 3) what pixels would show without clipping.

    ``clipped`` (N, 3) goes from 0, a sound channel of the pixels ``seen`` (N, 3), to 1, one at white. Sound channels
    say how bright; the colour is that of the light ``around`` (N, 3), which changes slowly. Nothing becomes darker.
    """
    around = np.maximum(around, _DARKEST)
    kept = 1 - clipped
    brightness = (seen * kept).sum(axis=-1) / np.maximum((around * kept).sum(axis=-1), _DARKEST)
    least = (seen / around).max(axis=-1)
    brightness = np.where(kept.max(axis=-1) > 0, brightness, np.maximum(least, 1))
    made_up = np.maximum(around * brightness[:, None], seen)
    return np.asarray(kept * seen + clipped * made_up, dtype=np.float32)


def surroundings(calm: NDArray[np.float32], sound: Plane) -> NDArray[np.float32]:
    """Return (H, W, 3) the mean of ``calm`` over the nearest sound pixels, from ever further off where there are none.

    Pull and push: halved until something is known everywhere, then filled in from the coarse to the fine.
    """
    light, weight = calm * sound[..., None], sound
    pulled = [(light, weight)]
    while min(weight.shape) > 1:
        size = (-(-weight.shape[1] // 2), -(-weight.shape[0] // 2))
        light, weight = _resized(light, size), _resized(weight, size)
        pulled.append((light, weight))
    filled = np.zeros((*weight.shape, 3), np.float32)
    for light, weight in reversed(pulled):
        wider = _resized(filled, (weight.shape[1], weight.shape[0]), cv2.INTER_LINEAR)
        known = np.minimum(weight / _ENOUGH, 1)[..., None]
        filled = known * light / np.maximum(weight, _DARKEST)[..., None] + (1 - known) * wider
    return filled


def _resized(plane: Plane, size: tuple[int, int], interpolation: int = cv2.INTER_AREA) -> Plane:
    return np.asarray(cv2.resize(plane, size, interpolation=interpolation), dtype=np.float32)
