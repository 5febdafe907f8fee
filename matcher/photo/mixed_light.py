"""Does the light change its colour across one surface?

One wall has one paint, so where colour drifts steadily across a smooth place, the light drifts. Two places of different
colour say nothing: they may be two paints. A second light makes such a drift, and so does what coloured floors and
bricks throw back: up to 0.43 was seen under one window, beside 0.46 and 0.57 by window and lamp. Without a smooth place
nothing is known, and a light that reaches another place only is never seen: that one kind of light falls in a room can
be told from no photo alone.

A camera that adds contrast does it channel by channel: where one light falls off across a coloured wall, the channels
move apart, and what is thrown back looks like more. So a drift is stated as the usual contrast leaves it, if less.
"""

from __future__ import annotations

from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from matcher.photo.decoded import ColourSpace

_WORK_SIDE_PX = 240
_SMALLEST_SHARE = 0.10
# Steps a pixel of the small copy, natural log of ratios: across more than this it is not one smooth surface.
_CALM_CHROMATICITY = 0.02
_CALM_LIGHTNESS = 0.06
# Linear; darker is noise, and brighter a tone curve bends each channel by itself, which would look like a drift.
_USABLE = (0.01, 0.70)
# What phones add, u + k (3 u^2 - 2 u^3 - u) of the file value (assumption: k in the middle of what is believed of files
# with contrast added, calibration/curve_prior.py).
_CONTRAST = 0.5
# Part of the variation that a plane explains: a lamp's reach is a slope, a pattern is not.
_STEADY = 0.85
# A place that varies by no more than this in all tells of no drift, steady or not; one that varies more and not
# steadily tells nothing.
_STILL = 0.20


def light_drift(pixels: NDArray[np.uint8], space: ColourSpace) -> float | None:
    """Return the largest steady drift of ln(B/R) across one smooth place of (H, W, 3), None with none to judge by.

    From a 2700 K lamp to daylight the whole way is about 1.8 (Wien's law at 450 and 610 nm, 2700 K against 6500 K).
    """
    values = np.linspace(0, 1, 256)
    linear = _decoded(values, space)
    red, green, blue = cv2.split(_small(pixels))
    blue_red = _blue_red(red, blue, linear)
    lightness = cv2.GaussianBlur(_logs(linear)[green], (0, 0), 1.0)
    calm = (_step(blue_red) < _CALM_CHROMATICITY) & (_step(lightness) < _CALM_LIGHTNESS)
    usable = (linear > _USABLE[0]) & (linear < _USABLE[1])
    calm &= usable[red] & usable[green] & usable[blue]
    count, labels, stats, _ = cv2.connectedComponentsWithStats(calm.astype(np.uint8), connectivity=4)
    large = [label for label in range(1, count) if stats[label, cv2.CC_STAT_AREA] >= _SMALLEST_SHARE * calm.size]
    decoded = [blue_red]
    if not space.tone_known:
        decoded.append(_blue_red(red, blue, _decoded(_without_contrast(values), space)))
    drifts = [_least_drift(decoded, labels == label) for label in large]
    return max((drift for drift in drifts if drift is not None), default=None)


def _decoded(values: NDArray[Any], space: ColourSpace) -> NDArray[Any]:
    return np.asarray(np.interp(values, np.linspace(0, 1, len(space.decode_table)), space.decode_table))


def _without_contrast(values: NDArray[Any]) -> NDArray[Any]:
    """Return file values (N,) 0..1 as they were before contrast was added."""
    before = np.linspace(0, 1, 1024)
    return np.asarray(np.interp(values, before + _CONTRAST * (3 * before**2 - 2 * before**3 - before), before))


def _logs(linear: NDArray[Any]) -> NDArray[np.float32]:
    logs: NDArray[np.float32] = np.log(np.maximum(linear, 1e-3)).astype(np.float32)
    return logs


def _blue_red(red: NDArray[Any], blue: NDArray[Any], linear: NDArray[Any]) -> NDArray[Any]:
    logs = _logs(linear)
    return np.asarray(cv2.GaussianBlur(logs[blue] - logs[red], (0, 0), 1.5))


def _small(pixels: NDArray[np.uint8]) -> NDArray[Any]:
    height, width = pixels.shape[:2]
    shrink = min(1.0, _WORK_SIDE_PX / max(height, width))
    size = (max(1, round(width * shrink)), max(1, round(height * shrink)))
    # By way of a plain halving, which is quick, where there are millions to average.
    halves: NDArray[Any] = pixels
    while min(halves.shape[:2]) >= 4 * min(size):
        halves = cv2.resize(halves, (halves.shape[1] // 2, halves.shape[0] // 2), interpolation=cv2.INTER_AREA)
    return cv2.resize(halves, size, interpolation=cv2.INTER_AREA)


def _step(values: NDArray[Any]) -> NDArray[Any]:
    across = np.abs(np.diff(values, axis=1, append=values[:, -1:]))
    down = np.abs(np.diff(values, axis=0, append=values[-1:]))
    return np.maximum(across, down)


def _least_drift(decoded: list[NDArray[Any]], region: NDArray[np.bool_]) -> float | None:
    """Return the least drift across a region under any of ways to decode it, None where the first tells of none."""
    drifts = [_steady_drift(values, region) for values in decoded]
    return None if drifts[0] is None else min(drift for drift in drifts if drift is not None)


def _steady_drift(values: NDArray[Any], region: NDArray[np.bool_]) -> float | None:
    rows, columns = np.nonzero(region)
    inside = values[region].astype(float)
    plane = np.column_stack([np.ones(len(rows)), rows - rows.mean(), columns - columns.mean()])
    solution = np.linalg.lstsq(plane.T @ plane, plane.T @ inside, rcond=None)[0]
    fitted = plane @ solution
    if (inside - fitted).var() > (1 - _STEADY) * inside.var():
        spread = _spread(inside)
        return spread if spread <= _STILL else None
    # A plane overshoots where a drift levels off: no more is stated than is there.
    return min(_spread(fitted), _spread(inside))


def _spread(values: NDArray[Any]) -> float:
    low, high = np.percentile(values, (3, 97))
    return float(high - low)
