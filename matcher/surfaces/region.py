"""The pixels a surface is read from: inside its outlines, lit alike, not clipped, not black, quietened."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from matcher.calibration.light import Light
from matcher.colorimetry.spaces import Floats
from matcher.photo.decoded import Photo
from matcher.photo.pixels import as_eight_bits
from matcher.surfaces.card_noise import quietened
from matcher.surfaces.lit_part import lit_alike
from matcher.surfaces.outline_mask import outline_mask
from matcher.surfaces.sampling import sample

_WHITE, _BLACK = 253, 3  # file values beyond which a channel tells nothing
_SHOWN = 40  # file value of the brightest channel from which a pixel is coloured and not dark (assumption)
_WINDOW = 7  # decoded pixels: wider than the filter, narrower than a board or a tile
_CALM = 0.15  # share of windows taken to hold one material only


@dataclass(frozen=True, slots=True, eq=False)
class Region:
    """``values`` (N, 3) uint8 file values after noise filtering, ``positions`` (N, 2) full-size pixels x, y,
    ``roughness`` (N,) local contrast in file values, ``area`` full-size pixels inside the outlines, ``clipped`` share
    of pixels left out because a channel is at white, ``otherwise_lit`` share of them set aside as lit otherwise,
    ``dark`` share left out as black, ``beyond`` (3,) the channels that are at 0 in most pixels though others are not: a
    colour stronger than the file can hold; ``noise`` the variance of a file value inside the calmest windows,
    summed over the channels, ``index`` (N,) of the pixels in the sampled picture of ``shape``.
    """

    values: NDArray[np.uint8]
    positions: Floats
    roughness: NDArray[np.uint8]
    area: float
    clipped: float
    otherwise_lit: float
    dark: float
    beyond: NDArray[np.bool_]
    noise: float
    index: NDArray[np.intp]
    shape: tuple[int, int]

    def picture(self, values: NDArray[np.bool_]) -> NDArray[np.uint8]:
        """Return a picture (``shape``) of a truth value a pixel, for looking at its pattern."""
        canvas = np.zeros(self.shape[0] * self.shape[1], np.uint8)
        canvas[self.index[values]] = 1
        return canvas.reshape(self.shape)

    def only(self, kept: NDArray[np.bool_]) -> Region:
        """Return the region with some of its pixels (N,) only."""
        chosen = np.flatnonzero(kept)
        return replace(
            self,
            values=self.values.take(chosen, axis=0),
            positions=self.positions.take(chosen, axis=0),
            roughness=self.roughness.take(chosen),
            index=self.index.take(chosen),
        )


def read_region(
    photo: Photo, outlines: Sequence[Floats], cards: Sequence[Floats], noise: float, *, card: Light | None = None
) -> Region:
    """Return the usable pixels inside ``outlines``; ``noise`` is one-sigma of a file value 0..1.

    ``card`` is the light of a card lying on the surface: what is lit quite otherwise than the card is set aside.
    """
    found = outline_mask(photo, outlines, cards, card)
    left, top = found.origin
    height, width = found.mask.shape
    looked = sample(as_eight_bits(photo.pixels[top : top + height, left : left + width]), found.mask)
    quiet = quietened(looked.image, noise)
    grey = as_eight_bits(cv2.cvtColor(quiet, cv2.COLOR_RGB2GRAY))
    roughness = as_eight_bits(cv2.morphologyEx(grey, cv2.MORPH_GRADIENT, np.ones((3, 3), np.uint8)))
    # One number a pixel picks three times as fast as row and column do.
    index = np.flatnonzero(looked.inside)
    offset = np.array([left, top], np.float32) + np.float32(0.5)
    positions = (looked.positions.reshape(-1, 2).take(index, axis=0) + offset) / np.float32(photo.scale)
    alike = lit_alike(quiet.reshape(-1, 3).take(index, axis=0), grey.take(index), positions, photo.scale, card)
    red, green, blue = cv2.split(looked.image)
    brightest = cv2.max(cv2.max(red, green), blue).take(index)
    white = brightest >= _WHITE
    black = cv2.min(cv2.min(red, green), blue).take(index) <= _BLACK
    inside, strong = alike & ~(white | black), alike & ~white & black & (brightest >= _SHOWN)
    dark = float((alike & black & ~strong).sum() / max(alike.sum(), 1))
    beyond = np.zeros(3, bool)
    if strong.sum() > inside.sum():
        chosen = index.take(np.flatnonzero(strong))
        beyond = np.array([np.median(channel.take(chosen)) <= _BLACK for channel in (red, green, blue)])
        inside |= strong
    usable = np.flatnonzero(inside)
    index = index.take(usable)
    return Region(
        values=quiet.reshape(-1, 3).take(index, axis=0),
        positions=positions.take(usable, axis=0),
        roughness=roughness.take(index),
        area=found.area / photo.scale**2,
        clipped=float(white[alike].mean()) if alike.any() else 1.0,
        otherwise_lit=1.0 - float(alike.mean()) if alike.size else 0.0,
        dark=dark,
        beyond=beyond,
        noise=_left_noise(quiet, looked.inside),
        index=index,
        shape=(quiet.shape[0], quiet.shape[1]),
    )


def _left_noise(image: NDArray[np.uint8], inside: NDArray[np.bool_]) -> float:
    """Return the variance inside the calmest windows of the filtered picture, summed over the channels."""
    # cv2.blur turns 8-bit input to 8-bit means; float keeps the variance of calm windows.
    values = image.astype(np.float32)
    size = (_WINDOW, _WINDOW)
    # Every second window each way: neighbours share most of their pixels.
    mean, square = (cv2.blur(each, size)[::2, ::2] for each in (values, values * values))
    whole = np.flatnonzero(cv2.blur(inside.astype(np.float32), size)[::2, ::2] > 0.99)
    calm = (square - mean * mean).reshape(-1, 3).take(whole, axis=0).sum(axis=1)
    if len(calm) < _WINDOW:
        return 0.0
    rank = int(_CALM * (len(calm) - 1))
    return float(max(np.partition(calm, rank)[rank], 0.0))
