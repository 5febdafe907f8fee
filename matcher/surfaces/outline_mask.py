"""Which pixels lie inside a surface's outlines: off their edges, off the cards, and near the surface's own card."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from matcher.calibration.light import Light
from matcher.colorimetry.spaces import Floats
from matcher.photo.decoded import Photo
from matcher.photo.pixels import as_eight_bits, fill_polygon

_EDGE = 1  # decoded pixels next to an outline that mix with what lies beyond
_CARD_CLEARANCE = 0.15  # of a card's width around it: its shadow and its rim
# Assumption: what lies more than this many card widths away says little of what the card saw.
_NEAR = 14.0
_FEWEST_NEAR = 3000  # decoded pixels; with fewer than these near the card, all of the surface is looked at


@dataclass(frozen=True, slots=True, eq=False)
class OutlineMask:
    """``mask`` (H, W) of zeros and ones, its corner ``origin`` (x, y) in decoded pixels, ``area`` of the outlines."""

    mask: NDArray[np.uint8]
    origin: tuple[int, int]
    area: float


def outline_mask(photo: Photo, outlines: Sequence[Floats], cards: Sequence[Floats], card: Light | None) -> OutlineMask:
    """Return the mask of a surface outlined in full-size pixels; ``card`` is the light of a card lying on it."""
    height, width = photo.pixels.shape[:2]
    points = np.concatenate(list(outlines)) * photo.scale
    low = np.clip(np.floor(points.min(axis=0)).astype(int), 0, [width - 1, height - 1])
    high = np.clip(np.ceil(points.max(axis=0)).astype(int) + 1, 1, [width, height])
    mask = np.zeros((high[1] - low[1], high[0] - low[0]), np.uint8)
    for outline in outlines:
        fill_polygon(mask, outline * photo.scale - low, 1)
    for other in cards:
        centre = other.mean(axis=0)
        grown = centre + (other - centre) * (1 + 2 * _CARD_CLEARANCE)
        fill_polygon(mask, grown * photo.scale - low, 0)
    mask = _inner(mask)
    area = float(np.count_nonzero(mask))
    if card is not None:
        mask, shift = _near(mask, card.position * photo.scale - low, _NEAR * card.extent * photo.scale)
        low = low + shift
    return OutlineMask(mask, (int(low[0]), int(low[1])), area)


def _inner(mask: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Return the mask without its edge, or as it was where it is too thin for that."""
    if min(mask.shape) <= 6 * _EDGE:
        return mask
    size = 2 * _EDGE + 1
    inner = cv2.erode(mask, np.ones((size, size), np.uint8), borderType=cv2.BORDER_CONSTANT, borderValue=0)
    return as_eight_bits(inner) if inner.any() else mask


def _near(mask: NDArray[np.uint8], centre: Floats, radius: float) -> tuple[NDArray[np.uint8], NDArray[np.intp]]:
    """Return the part of the mask within ``radius`` of the card, cropped, and how far its corner moved (x, y)."""
    disc = np.zeros_like(mask)
    cv2.circle(disc, (round(float(centre[0])), round(float(centre[1]))), round(radius), 1, -1)
    part = mask & disc
    # Nothing is left of a surface whose outline is that of the card: there is no part to crop to.
    if np.count_nonzero(part) < max(min(_FEWEST_NEAR, int(np.count_nonzero(mask))), 1):
        return mask, np.zeros(2, np.intp)
    left, top, width, height = cv2.boundingRect(part)
    return part[top : top + height, left : left + width], np.array([left, top], np.intp)
