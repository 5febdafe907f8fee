"""Is a photo fit to measure from: size, exposure, clipping, sharpness, mixed light.

| check | values |
| --- | --- |
| size | width, height (full-size pixels) |
| exposure | median, bright (50th and 95th percentile of linear luminance, 0..1), verdict: ok, under, over, uneven |
| clipping | clipped, black (share of pixels, 0..1) |
| sharpness | edge_width_px (at a 1000 pixel long side), or no values where no edge can be judged |
| mixed light | share (by which blue against red changes across one surface), drift (its logarithm); or places: 0 |

What reading the file noticed stands in ``photo.findings``: colour profile (name, source), transparency dropped, first
frame used (frames), 16 bits kept (bits), HDR picture (transfer), gain map ignored, camera raw (balance), and the signs
of matcher/photo/origin.py; those seen in the pixels are told by matcher/photo/pixel_signs.py.
"""

from __future__ import annotations

from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from matcher.photo.decoded import Finding, Level, Photo
from matcher.photo.mixed_light import light_drift
from matcher.photo.pixel_signs import pixel_signs
from matcher.photo.pixels import as_eight_bits, every
from matcher.photo.sharpness import at_judged_size, edge_width

# Limits are assumptions, set so that none of a set of well-exposed, sharp practice pictures is warned about and each
# deliberately spoilt copy of them is; (warn, fail).
_LONG_SIDE_PX = (1000, 400)
_DARK_BRIGHT_PART = (0.20, 0.06)
_DARK_MEDIAN = 0.06
_LIGHT_MEDIAN = (0.70, 0.90)
_CLIPPED_SHARE = (0.05, 0.30)
_CLIPPED_NOTE = 0.01
_BLACK_SHARE = (0.15, 0.50)
_EDGE_WIDTH_PX = (1.6, 2.6)
_DRIFT_NOTE, _DRIFT_WARN = 0.25, 0.45
_CLIPPED_AT, _BLACK_AT = 253, 4  # of 255; JPEG rounds a clipped patch to 253 at times


def check_photo(photo: Photo) -> tuple[Finding, ...]:
    """Return one finding for each check, in the order of the table above, and one for each sign in the pixels."""
    eight_bits = as_eight_bits(photo.pixels)
    judged = at_judged_size(eight_bits)
    grey = cv2.cvtColor(judged, cv2.COLOR_RGB2GRAY)
    return (
        _size(photo),
        _exposure(photo, grey),
        _clipping(eight_bits),
        _sharpness(grey),
        _mixed_light(light_drift(judged, photo.colour_space)),
        *pixel_signs(photo, eight_bits),
    )


def _above(value: float, limits: tuple[float, float]) -> Level:
    return "fail" if value >= limits[1] else "warn" if value >= limits[0] else "ok"


def _below(value: float, limits: tuple[float, float]) -> Level:
    return "fail" if value < limits[1] else "warn" if value < limits[0] else "ok"


def _size(photo: Photo) -> Finding:
    width, height = photo.full_size
    return Finding("size", _below(max(width, height), _LONG_SIDE_PX), (("width", width), ("height", height)))


def _exposure(photo: Photo, grey: NDArray[Any]) -> Finding:
    table = photo.colour_space.decode_table
    below = np.cumsum(cv2.calcHist([grey], [0], None, [256], [0, 256]).ravel()) / grey.size
    middle, bright = (
        float(np.interp(level / 255, np.linspace(0, 1, len(table)), table))
        for level in np.searchsorted(below, (0.50, 0.95))
    )
    level, verdict = _below(bright, _DARK_BRIGHT_PART), "under"
    if level == "ok":
        level, verdict = _above(middle, _LIGHT_MEDIAN), "over"
    if level == "ok":
        level, verdict = ("note", "uneven") if middle < _DARK_MEDIAN else ("ok", "ok")
    return Finding("exposure", level, (("median", middle), ("bright", bright), ("verdict", verdict)))


def _clipping(pixels: NDArray[Any]) -> Finding:
    red, green, blue = cv2.split(every(pixels, 4))
    brightest = cv2.max(cv2.max(red, green), blue)
    clipped, black = float((brightest >= _CLIPPED_AT).mean()), float((brightest <= _BLACK_AT).mean())
    order = ("ok", "warn", "fail").index
    burnt, dark = _above(clipped, _CLIPPED_SHARE), _above(black, _BLACK_SHARE)
    values = (("clipped", clipped), ("black", black))
    if order(dark) > order(burnt):
        return Finding("clipping", dark, values[::-1])
    level: Level = "note" if burnt == "ok" and clipped >= _CLIPPED_NOTE else burnt
    return Finding("clipping", level, values)


def _sharpness(grey: NDArray[Any]) -> Finding:
    width = edge_width(grey)
    if width is None:
        return Finding("sharpness", "note")
    return Finding("sharpness", _above(width, _EDGE_WIDTH_PX), (("edge_width_px", width),))


def _mixed_light(drift: float | None) -> Finding:
    if drift is None:
        return Finding("mixed light", "note", (("places", 0),))
    level: Level = "warn" if drift >= _DRIFT_WARN else "note" if drift >= _DRIFT_NOTE else "ok"
    return Finding("mixed light", level, (("share", float(np.expm1(drift))), ("drift", drift)))
