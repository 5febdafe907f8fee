"""Numbers as they leave the program: rounded, finite, without a negative zero."""

from __future__ import annotations

import math
from collections.abc import Iterable


def rounded(value: float, digits: int) -> float:
    """Return ``value`` to ``digits`` decimals; raises ``ValueError`` for NaN or infinity, which no result may hold."""
    if not math.isfinite(value):
        raise ValueError(f"a result holds the number {value}")
    return round(float(value), digits) + 0.0


def rounded_lab(lab: Iterable[float]) -> list[float]:
    """Return CIELAB as a list of three numbers to two decimals: finer than any reading."""
    return [rounded(part, 2) for part in lab]
