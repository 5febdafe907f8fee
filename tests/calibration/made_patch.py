"""A patch of a card made of numbers alone, where what a function does with patches is asked and no pixels are."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from matcher.calibration.patch import LEVELS, Patch

PIXELS = 400  # in each quarter


def made(codes: ArrayLike, **facts: Any) -> Patch:
    """Return a grey card of file values (3,), or (4, 3) for its quarters; ``facts`` are fields of :class:`Patch`."""
    quadrants = np.zeros((4, 3, LEVELS))
    for quarter, values in zip(quadrants, np.broadcast_to(codes, (4, 3)), strict=True):
        quarter[np.arange(3), np.asarray(values, dtype=int)] = PIXELS
    usual: dict[str, Any] = {
        "kind": "grey card",
        "reflectance": 0.18,
        "on": None,
        "centre": np.array([100.0, 100.0]),
        "quadrants": quadrants,
        "slope": np.zeros(2),
        "slope_sd": 1e-4,
        "noise": 0.01,
        "clipped": 0.0,
        "spread": 0.0,
        "extent": 40.0,
    }
    return Patch(**{**usual, **facts})
