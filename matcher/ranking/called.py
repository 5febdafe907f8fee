"""How sure the undertone of a measured colour is: the probability that what it is called holds."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from matcher.colorimetry.normal import even_normals
from matcher.colorimetry.symmetric_root import symmetric_root
from matcher.harmony.tint import visibility
from matcher.harmony.undertone import STRENGTHS

FloatArray = NDArray[np.floating[Any]]

_DRAWS = 256
# An undertone less certain than this is not called by name. Assumption; tests/benchmarks/undertones.py prints how often
# names were right by certainty.
CALLED_FROM = 0.7
UNCALLED = "uncertain"  # the word in place of a family
# A lean holds within this of its hue, degrees of CIELAB: as wide to each side as one of the ten Munsell families, whose
# own borders would make a colour beside one look unsure.
_SAME_LEAN_DEG = 36.0
# Below the first a colour is called neutral; such a one may truly show up to the second, where a tint is just visible.
_NEUTRAL, _STILL_NEUTRAL = STRENGTHS[0][0], 1.0


def undertone_certainty(lab: ArrayLike, covariance: ArrayLike) -> FloatArray:
    """Return (K,), 0..1: how probable it is that colours (K, 3) of ``covariance`` (K, 3, 3) lean as is said of them."""
    colours = np.asarray(lab, dtype=np.float64).reshape(-1, 3)
    normal = even_normals(_DRAWS, np.full(3, 0.5))
    drawn = colours[:, None] + np.einsum(
        "kij,dj->kdi", symmetric_root(np.asarray(covariance, dtype=np.float64)), normal
    )
    step = np.abs(_hue_deg(drawn) - _hue_deg(colours)[:, None])
    seen = visibility(drawn)
    leans = (seen >= _NEUTRAL) & (180 - np.abs(180 - step) <= _SAME_LEAN_DEG)
    neutral = visibility(colours) < _NEUTRAL
    holds = np.where(neutral[:, None], seen < _STILL_NEUTRAL, leans)
    return np.asarray(holds.mean(axis=1))


def _hue_deg(lab: FloatArray) -> FloatArray:
    return np.asarray(np.degrees(np.arctan2(lab[..., 2], lab[..., 1])))
