"""Patches made of numbers: exactly the light that a test says, read through a file whose values are linear light."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from matcher.calibration.patch import LEVELS, Patch
from matcher.colorimetry.spaces import Floats
from matcher.photo.colour_space import srgb
from matcher.photo.decoded import ColourSpace

STRAIGHT: Floats = np.arange(LEVELS) / (LEVELS - 1)
PIXELS = 1600.0


def straight_space(*, tone_known: bool = False) -> ColourSpace:
    """The primaries of sRGB, file values as linear light; a camera may have put its curve on top."""
    return replace(srgb(), decode_table=np.linspace(0, 1, 4096), tone_known=tone_known)


def made(linear: ArrayLike, reflectance: float = 0.18, **others: Any) -> Patch:
    """Return a grey card whose quarters have the mean linear RGB ``linear``, (4, 3) or what broadcasts to it: their
    pixels lie at the two nearest file values.
    """
    wanted = np.broadcast_to(np.asarray(linear, dtype=float), (4, 3)) * (LEVELS - 1)
    quadrants = np.zeros((4, 3, LEVELS))
    for (quarter, channel), value in np.ndenumerate(wanted):
        low = min(int(value), LEVELS - 2)
        quadrants[quarter, channel, low] = (low + 1 - value) * PIXELS / 4
        quadrants[quarter, channel, low + 1] = (value - low) * PIXELS / 4
    usual: dict[str, Any] = {
        "kind": "grey card",
        "on": "worktop",
        "centre": np.zeros(2),
        "slope": np.zeros(2),
        "slope_sd": 1e-5,
        "noise": 0.0,
        "clipped": 0.0,
        "spread": 0.0,
        "extent": 40.0,
    }
    return Patch(reflectance=reflectance, quadrants=quadrants, **{**usual, **others})
