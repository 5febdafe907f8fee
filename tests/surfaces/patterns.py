"""Materials drawn as label maps: tile with grout, boards, veins, flecks; deterministic."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

Labels = NDArray[np.intp]


def tiles(height: int, width: int, *, side: int = 56, grout: int = 6, second_share: float = 0.35) -> Labels:
    """Tiles of two glazes (0 and 1, scattered) with grout (2) between them."""
    rows, columns = np.mgrid[0:height, 0:width]
    rng = np.random.default_rng(4)
    glaze = (rng.random((height // side + 1, width // side + 1)) < second_share).astype(np.intp)
    labels: Labels = glaze[rows // side, columns // side]
    labels[(rows % side < grout) | (columns % side < grout)] = 2
    return labels


def boards(height: int, width: int, *, board: int = 40) -> Labels:
    """Boards of three tones lying side by side, ends staggered."""
    rows, columns = np.mgrid[0:height, 0:width]
    rng = np.random.default_rng(7)
    tones = rng.choice(3, size=(height // board + 1, 8), p=[0.5, 0.3, 0.2])
    lane = rows // board
    shift = rng.integers(0, 120, height // board + 1)
    return np.asarray(tones[lane, ((columns + shift[lane]) // 160) % 8], dtype=np.intp)


def veins(height: int, width: int, *, count: int = 6, thickness: int = 12) -> Labels:
    """Stone (0) with winding veins (1)."""
    canvas = np.zeros((height, width), np.uint8)
    rng = np.random.default_rng(11)
    x = np.arange(-10, width + 10, 8)
    for _ in range(count):
        y = rng.uniform(0, height) + 0.25 * x * rng.uniform(-1, 1) + 14 * np.sin(x / rng.uniform(20, 45))
        cv2.polylines(canvas, [np.stack([x, y], axis=1).astype(np.int32)], False, 1, thickness)
    return canvas.astype(np.intp)


def flecks(height: int, width: int, *, pitch: int = 34, radius: int = 7) -> Labels:
    """Stone (0) with round flecks (1), scattered but apart."""
    canvas = np.zeros((height, width), np.uint8)
    rng = np.random.default_rng(13)
    for y in range(pitch // 2, height, pitch):
        for x in range(pitch // 2, width, pitch):
            dx, dy = rng.integers(-8, 9, 2)
            cv2.circle(canvas, (int(x + dx), int(y + dy)), radius, 1, -1)
    return canvas.astype(np.intp)
