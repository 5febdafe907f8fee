"""Signs in the pixels that a picture is not as the camera wrote it, or that some of its colours are not to be had.

| check | values |
| --- | --- |
| screenshot | seen (plain bars at two opposite edges) |
| combed levels | gaps (file values that hardly a pixel has, among values that many have) |
| colours cut off | share (of pixels with a channel at 0 beside a strong one) |
"""

from __future__ import annotations

from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from matcher.photo.decoded import Finding, Photo
from matcher.photo.pixels import every

# Assumptions. A bar's rows are of one colour but for a few letters or symbols; the picture's own rows are not, even on
# a plain wall: light falls off and sensors are noisy.
_BAR_EVENNESS, _PICTURE_EVENNESS, _PICTURE_SHARE = 0.9, 0.5, 0.5
_SAME_COLOUR = 1  # file value
_BAR_SHARE, _SEARCHED_SHARE = 0.015, 0.45
# A bar that crosses the 16 rows of a JPEG's chroma block is not quite plain there; its end is still a step of few rows.
_END_WITHIN_ROWS, _EDGE_ROWS, _AT_ONCE, _LEAST_STEP = 20, 3, 0.6, 12
_COLUMNS_LOOKED_AT = 400
# A value is missing where it has this part of its neighbours' pixels, and these have enough for that to mean something.
_MISSING_PART, _ENOUGH_PIXELS = 0.1, 60
_COMB_RANGE = (16, 240)
_COMB_GAPS = 8  # in all three channels together
_STRONG_CHANNEL, _CUT_OFF = 64, 1
_CUT_OFF_SHARE = 0.05


def pixel_signs(photo: Photo, eight_bits: NDArray[np.uint8]) -> tuple[Finding, ...]:
    """Return one finding for each sign seen in a photo whose pixels are ``eight_bits`` (H, W, 3)."""
    found = []
    if has_bars(eight_bits) or has_bars(np.swapaxes(eight_bits, 0, 1)):
        found.append(Finding("screenshot", "warn", (("seen", "plain bars along two of its edges"),)))
    # What was shrunk in decoding has its gaps filled by averaging.
    gaps = missing_levels(eight_bits) if photo.scale == 1 and photo.pixels.dtype == np.uint8 else 0
    if gaps >= _COMB_GAPS:
        found.append(Finding("combed levels", "note", (("gaps", gaps),)))
    share = _cut_off_share(eight_bits)
    if share >= _CUT_OFF_SHARE:
        found.append(Finding("colours cut off", "note", (("share", share),)))
    return tuple(found)


def has_bars(pixels: NDArray[np.uint8]) -> bool:
    """Tell whether plain bars lie along the first and the last rows of (H, W, 3), with a picture between them."""
    if not (_evenness(pixels[:1])[0] >= _BAR_EVENNESS and _evenness(pixels[-1:])[0] >= _BAR_EVENNESS):
        return False
    top, bottom = _bar(pixels), _bar(pixels[::-1])
    if not top or not bottom:
        return False
    middle = _evenness(pixels[top : len(pixels) - bottom])
    return len(middle) > 0 and float((middle < _PICTURE_EVENNESS).mean()) > _PICTURE_SHARE


def _evenness(rows: NDArray[np.uint8]) -> NDArray[Any]:
    """Return the part of each row of (N, W, 3) that has the row's middle colour."""
    thinned = rows[:, :: max(1, rows.shape[1] // _COLUMNS_LOOKED_AT)].astype(np.int16)
    off = np.abs(thinned - np.median(thinned, axis=1, keepdims=True)).max(axis=2)
    return np.asarray((off <= _SAME_COLOUR).mean(axis=1))


def _bar(pixels: NDArray[np.uint8]) -> int:
    """Return how many rows a plain bar along the first ones takes, letters and symbols in it included; 0 without one.

    Burnt-out or black parts of a photo are plain too, but fade into it, where a bar ends at once.
    """
    rows = pixels[: round(_SEARCHED_SHARE * len(pixels))]
    edge = np.median(rows[0], axis=0)
    alike = (np.abs(rows - edge).max(axis=2) <= _SAME_COLOUR).mean(axis=1)
    plain = np.flatnonzero(alike >= _BAR_EVENNESS)
    if len(plain) < max(3, _BAR_SHARE * len(pixels)):
        return 0
    end = int(plain[-1]) + 1
    beyond = pixels[end - 1 : end + _END_WITHIN_ROWS + _EDGE_ROWS]
    step = np.abs(beyond - edge).max(axis=2).mean(axis=1)
    whole = step[-_EDGE_ROWS:].mean()
    at_once = (step[_EDGE_ROWS:] - step[:-_EDGE_ROWS]).max(initial=0.0)
    return end if whole > _LEAST_STEP and at_once > _AT_ONCE * whole else 0


def missing_levels(pixels: NDArray[np.uint8]) -> int:
    """Return how many values of the three channels are all but absent between values that are frequent."""
    thinned = np.ascontiguousarray(pixels[::2, ::2])
    counts = [cv2.calcHist([thinned], [channel], None, [256], [0, 256]).ravel() for channel in range(3)]
    return sum(map(_missing, counts))


def _missing(counts: NDArray[Any]) -> int:
    around = np.median(np.stack([np.roll(counts, step) for step in (-2, -1, 1, 2)]), axis=0)
    low, high = _COMB_RANGE
    rare = (counts < _MISSING_PART * around) & (around >= _ENOUGH_PIXELS)
    return int(rare[low:high].sum())


def _cut_off_share(pixels: NDArray[np.uint8]) -> float:
    red, green, blue = cv2.split(every(pixels, 8))
    least, most = cv2.min(cv2.min(red, green), blue), cv2.max(cv2.max(red, green), blue)
    return float(((least <= _CUT_OFF) & (most >= _STRONG_CHANNEL)).mean())
