"""Visual contrast between two LRVs, each rule under its own name: they disagree, and none speaks of gloss, wetness or
light level.

LRVs are 0..100 and broadcast. A consultant shows the points and names the rule; local codes and licensed practice
decide.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.floating[Any]]


def lrv_points(lrv1: ArrayLike, lrv2: ArrayLike) -> FloatArray:
    """|LRV1 - LRV2|, as BS 8300-2:2018 Annex B and Approved Document M use it (read in secondary sources)."""
    return np.asarray(np.abs(np.subtract(lrv1, lrv2)))


def _lighter_darker(lrv1: ArrayLike, lrv2: ArrayLike) -> tuple[FloatArray, FloatArray]:
    return np.maximum(lrv1, lrv2), np.minimum(lrv1, lrv2)


def contrast_percent(lrv1: ArrayLike, lrv2: ArrayLike) -> FloatArray:
    """100 (B1 - B2) / B1, B1 the lighter (US advisory text and an ICC A117.1 sign proposal); 0 for two blacks."""
    lighter, darker = _lighter_darker(lrv1, lrv2)
    return np.asarray(100 * (lighter - darker) / np.maximum(lighter, 1e-9))


def bowman_sapolinski(lrv1: ArrayLike, lrv2: ArrayLike) -> FloatArray:
    """125 |Y2 - Y1| / (Y1 + Y2 + 25) percent, AS 1428.1 Appendix B.

    >>> round(float(bowman_sapolinski(20, 7)), 2)
    31.25
    """
    lighter, darker = _lighter_darker(lrv1, lrv2)
    return np.asarray(125 * (lighter - darker) / (lighter + darker + 25))


def michelson(lrv1: ArrayLike, lrv2: ArrayLike) -> FloatArray:
    """(Y1 - Y2) / (Y1 + Y2), Y1 the lighter, as DIN 32975 uses it (one transcription); 0 for two blacks."""
    lighter, darker = _lighter_darker(lrv1, lrv2)
    return np.asarray((lighter - darker) / np.maximum(lighter + darker, 1e-9))


@dataclass(frozen=True, slots=True)
class ContrastRule:
    """``measure`` of two LRVs must reach ``threshold``, and the lighter one ``lighter_at_least``."""

    name: str
    source: str
    measure: Callable[[ArrayLike, ArrayLike], FloatArray]
    threshold: float
    unit: str
    lighter_at_least: float = 0.0

    def passes(self, lrv1: float, lrv2: float) -> bool:
        """Whether a pair of LRVs meets the rule."""
        return float(self.measure(lrv1, lrv2)) >= self.threshold and max(lrv1, lrv2) >= self.lighter_at_least


RULES: tuple[ContrastRule, ...] = (
    ContrastRule("lrv-points", "BS 8300-2:2018 Annex B; Approved Document M", lrv_points, 30.0, "points"),
    ContrastRule("percent", "US advisory text; ICC A117.1 proposal", contrast_percent, 70.0, "%", 45.0),
    ContrastRule("bowman-sapolinski", "AS 1428.1 Appendix B", bowman_sapolinski, 30.0, "%"),
    ContrastRule("michelson", "DIN 32975", michelson, 0.4, "", 50.0),
)

# What stands out from a surface throws a shadow of its own: half the points are held to be enough.
PROJECTING = ContrastRule(
    "lrv-points-projecting", "Approved Document M, projecting door furniture", lrv_points, 15.0, "points"
)
