"""Numbers as they leave the program: rounded, finite, without a negative zero; to people with a true minus."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from numbers import Real
from string import Formatter
from typing import Any

_MINUS = str.maketrans("-", "\u2212")


def rounded(value: float, digits: int) -> float:
    """Return ``value`` to ``digits`` decimals; raises ``ValueError`` for NaN or infinity, which no result may hold."""
    if not math.isfinite(value):
        raise ValueError(f"a result holds the number {value}")
    return round(float(value), digits) + 0.0


def rounded_lab(lab: Iterable[float]) -> list[float]:
    """Return CIELAB as a list of three numbers to two decimals: finer than any reading."""
    return [rounded(part, 2) for part in lab]


def printed(value: float, digits: int = 0) -> float:
    """Return a number as people read it: differences are taken of these, or 78 and 14 would be 63 apart."""
    return float(f"{value:.{digits}f}") + 0.0


def plus_minus(half_width: float) -> int:
    """Return the half width of an interval in whole points as it stands behind ±: no reading is known to ± 0."""
    return max(int(printed(half_width)), 1)


def shown(value: float | Real, spec: str) -> str:
    """Return a number for people to read: formatted, with a minus sign where Python writes a hyphen, a percentage apart
    from its sign, and a share that is there but rounds to nothing as less than the least that is shown.
    """
    text = format(value, spec).translate(_MINUS)
    if not text.endswith("%"):
        return text
    number = text[:-1]
    if float(value) > 0 and not number.strip("0."):
        number = f"less than {number[:-1]}1"
    return f"{number}\N{NO-BREAK SPACE}%"


def filled(template: str, fields: Mapping[str, object]) -> str:
    """Return ``template`` filled as ``str.format`` does, its numbers as :func:`shown` writes them, words unchanged."""
    return _Filler().vformat(template, (), fields)


class _Filler(Formatter):
    def format_field(self, value: Any, format_spec: str) -> str:
        return shown(value, format_spec) if isinstance(value, Real) else str(super().format_field(value, format_spec))
