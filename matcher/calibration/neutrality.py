"""Can this patch be a neutral card under any light a room has, or is it coloured?"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from matcher.calibration.patch import Patch
from matcher.colorimetry.spaces import Floats
from matcher.errors import Problem

# Assumptions, on linear RGB under the plain encoding. A candle (1900 K) in a picture balanced for daylight makes a
# grey 37 degrees from neutral and a blue sky in one balanced for tungsten about four times as blue as red; lamps do not
# make grey green or magenta by more than this. Cards of one photo share their light, give or take coloured bounce and a
# second lamp.
_FARTHEST_DEG = 42.0
_BLUEST = 5.0
_GREEN_SHIFT = 1.6
_APART = 0.9  # logarithm of red or blue against green, from the middle of the photo's cards


def coloured(patches: Sequence[Patch], table: Floats, where: Sequence[str]) -> list[Problem]:
    """Return one problem for each patch that no lamp could have coloured so; ``where`` names each patch."""
    linear = np.maximum([p.linear(table) for p in patches], 1e-4)
    balance = np.log(linear[:, [0, 2]] / linear[:, 1:2])
    middle = np.median(balance, axis=0)
    problems = []
    for rgb, own, place in zip(linear, balance, where, strict=True):
        angle = float(np.degrees(np.arccos(min(1.0, rgb.sum() / (np.sqrt(3.0) * np.linalg.norm(rgb))))))
        odd = len(patches) > 2 and float(np.abs(own - middle).max()) > _APART
        if angle > _FARTHEST_DEG or _impossible(rgb) or odd:
            problems.append(
                Problem(place, f"the patch is not neutral ({angle:.0f}° from grey in linear RGB)",
                        "Correct the outline so that it lies on the grey card alone, or take out this reference")
            )  # fmt: skip
    return problems


def _impossible(rgb: Floats) -> bool:
    red, green, blue = rgb
    too_green = green > _GREEN_SHIFT * max(red, blue)
    too_magenta = green * _GREEN_SHIFT < min(red, blue)
    return bool(too_green or too_magenta or blue > _BLUEST * red)
