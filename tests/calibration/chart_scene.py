"""A picture with a chart of 24 patches in perspective, drawn from colour-science's own numbers."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from numpy.typing import ArrayLike, NDArray

from matcher.colorimetry.spaces import Floats, srgb_encode
from matcher.photo.colour_space import srgb
from matcher.photo.decoded import Photo
from matcher.room.contents import Reference
from tests.calibration import spectral_camera
from tests.calibration.scenes import plain

Points = tuple[tuple[float, float], ...]
WIDTH, HEIGHT = 1200, 900
# Patches of 34 mm at a pitch of 40 in a frame 20 and 28 mm wide (sizes made up).
PITCH, PATCH, MARGIN_X, MARGIN_Y = 40.0, 34.0, 20.0, 28.0
SIZE = (6 * PITCH - (PITCH - PATCH) + 2 * MARGIN_X, 4 * PITCH - (PITCH - PATCH) + 2 * MARGIN_Y)
LYING: Points = ((330, 260), (850, 300), (900, 640), (270, 600))
_FRAME = 0.04


@dataclass(frozen=True, slots=True, eq=False)
class ChartScene:
    """``photo`` with a chart; ``frame`` and ``patches`` are the outlines of its frame and of all its patches together,
    from the corner at dark brown on.
    """

    photo: Photo
    frame: Points
    patches: Points

    def reference(self, outline: Points | None = None, on: str | None = None, **others: Any) -> Reference:
        """Return the chart as a reference, outlined by its frame unless said otherwise."""
        return Reference(kind="chart 24", outline=outline or self.frame, on=on, **others)


@cache
def chart_linear(camera: str = spectral_camera.NIKON, light: str = "D65") -> Floats:
    """Return linear sRGB (24, 3) of the mean of 30 measured charts (BabelColor 2012) as a camera writes them."""
    return spectral_camera.camera(camera).linear_rgb(spectral_camera.chart(), light)


def true_chart_lab() -> Floats:
    """Return CIELAB D65 of the chart drawn, from its spectra."""
    return spectral_camera.true_lab(spectral_camera.chart())


@cache
def _grain() -> tuple[Floats, Floats]:
    """Return the texture (H, W, 1) of what the chart lies on and the camera's noise (H, W, 3), both of size one: the
    same in every picture. In single precision, like all that is drawn: thousands of times finer than eight bits.
    """
    rng = np.random.default_rng(3)
    texture = cv2.GaussianBlur(rng.normal(0, 1, (HEIGHT, WIDTH)), (0, 0), 3)[..., None].astype(np.float32)
    noise = rng.standard_normal((HEIGHT, WIDTH, 3)).astype(np.float32)
    for kept in (texture, noise):
        kept.setflags(write=False)
    return texture, noise


def draw_chart(
    corners: Points = LYING,
    *,
    linear: Floats | None = None,
    curve: Callable[[Floats], Floats] = plain,
    level: float = 0.8,
    stray: ArrayLike = 0.0,
    light: Floats | None = None,
    noise: float = 0.006,
    mirrored: bool = False,
    ground: ArrayLike = (0.42, 0.36, 0.3),
    patch: float = PATCH,
) -> ChartScene:
    """Draw the chart with its frame's corners at ``corners`` (dark brown's first), under ``light`` (H, W) or 1.

    It lies on a surface of linear RGB ``ground``; its patches are ``patch`` long, in the middle of their cells; linear
    RGB ``stray`` lies over all of the picture.
    """
    patches = (chart_linear() if linear is None else linear).reshape(4, 6, 3)
    flat = np.full((round(SIZE[1]) * 4, round(SIZE[0]) * 4, 3), _FRAME, np.float32)
    for row in range(4):
        for column in range(6):
            inset = (PATCH - patch) / 2
            left, top = 4 * (MARGIN_X + column * PITCH + inset), 4 * (MARGIN_Y + row * PITCH + inset)
            shown = patches[row, 5 - column if mirrored else column]
            flat[round(top) : round(top + 4 * patch), round(left) : round(left + 4 * patch)] = shown
    high, wide = flat.shape[:2]
    matrix = cv2.getPerspectiveTransform(
        np.array([[0, 0], [wide, 0], [wide, high], [0, high]], np.float32) - 0.5, np.array(corners, np.float32) - 0.5
    )
    texture, grain = _grain()
    picture: NDArray[Any] = np.asarray(ground, dtype=np.float32) * (1 + 0.15 * texture)
    shown = cv2.warpPerspective(flat, matrix, (WIDTH, HEIGHT), flags=cv2.INTER_AREA)
    inside = cv2.warpPerspective(np.ones((high, wide), np.uint8), matrix, (WIDTH, HEIGHT), flags=cv2.INTER_NEAREST) > 0
    np.copyto(picture, shown, where=inside[..., None])
    picture *= level if light is None else (level * light[..., None]).astype(np.float32)
    picture += np.asarray(stray, dtype=np.float32)
    encoded = curve(srgb_encode(np.clip(cv2.GaussianBlur(picture, (0, 0), 0.7), 0, 1)))
    pixels = (np.clip(encoded + noise * grain, 0, 1) * 255).round().astype(np.uint8)
    photo = Photo(Path("chart.png"), pixels, (WIDTH, HEIGHT), 1.0, srgb(), ())
    low, high_ = np.array([MARGIN_X, MARGIN_Y]), np.array(SIZE) - [MARGIN_X, MARGIN_Y]
    around = np.array([low, [high_[0], low[1]], high_, [low[0], high_[1]]], np.float32) * 4
    outline = cv2.perspectiveTransform(around[None], matrix)[0]
    return ChartScene(photo, corners, tuple((float(x), float(y)) for x, y in outline))
