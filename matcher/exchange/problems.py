"""Mistakes of a file of colours: every one named by its place, one error at the end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from matcher.errors import GivensError, Problem
from matcher.exchange.parsed import ParsedColumn
from matcher.exchange.samples import FloatArray

MOST_PROBLEMS = 50
_SHOWN = 60  # letters of what stands where a number belongs


@dataclass(slots=True)
class Problems:
    """Mistakes of one file, in the order found: the first ``MOST_PROBLEMS``, and the ``count`` of all."""

    found: list[Problem] = field(default_factory=list)
    count: int = 0

    def add(self, where: str, what: str, remedy: str = "") -> None:
        """Note one mistake; ``where`` is the place within the file."""
        self.count += 1
        if len(self.found) < MOST_PROBLEMS:
            self.found.append(Problem(where, what, remedy))

    def raise_if_any(self, file: str, error: type[GivensError]) -> None:
        """Raise one ``error`` for all; a list too long to read ends with a count."""
        if not self.found:
            return
        listed = [Problem(f"{file}, {one.where}" if one.where else file, one.what, one.remedy) for one in self.found]
        rest = self.count - len(self.found)
        if rest > 0:
            listed.append(Problem(file, f"and {rest} more like these", "Mend the ones above and read the file again."))
        raise error(*listed)


def shortened(text: str) -> str:
    """Return a text as it is shown in a message."""
    return text if len(text) <= _SHOWN else text[: _SHOWN - 3] + "..."


def numbers(
    column: str,
    texts: Sequence[str],
    *,
    rows: Sequence[str],
    limits: tuple[float, float],
    problems: Problems,
    optional: bool = False,
) -> FloatArray:
    """Return (N,) floats, NaN where absent or unreadable; each text that is no number within limits is a problem."""
    low, high = limits
    blank = blanks(texts)
    if isinstance(texts, ParsedColumn):
        values = texts.values
    else:
        filled = [text or "nan" for text in texts] if blank.any() else texts
        try:
            values = np.array(filled, dtype=float)
        except ValueError:
            values = np.array([number_or_nan(text) for text in filled])
    with np.errstate(invalid="ignore"):
        bad = ~((values >= low) & (values <= high))
    if optional:
        bad &= ~blank
    for index in np.flatnonzero(bad).tolist():
        problems.add(f"{rows[index]}, column {column}", *_complaint(texts[index], values[index], limits))
    values[bad] = np.nan
    return values


def blanks(texts: Sequence[str]) -> NDArray[np.bool_]:
    """Return (N,) where nothing stands."""
    return texts.blank if isinstance(texts, ParsedColumn) else np.array([not text for text in texts], dtype=bool)


def number_or_nan(text: str) -> float:
    """Return the number a text is, NaN where it is none."""
    try:
        return float(text)
    except ValueError:
        return float("nan")


def _complaint(text: str, value: float, limits: tuple[float, float]) -> tuple[str, str]:
    allowed = f"Give a number from {limits[0]:g} to {limits[1]:g}."
    if not text:
        return "is empty", allowed
    if np.isnan(value):
        comma = " with a point for decimals" if "," in text else ""
        return f"{shortened(text)!r} is not a number", allowed.replace("number", "number" + comma)
    return f"{shortened(text)} is outside {limits[0]:g} to {limits[1]:g}", allowed
