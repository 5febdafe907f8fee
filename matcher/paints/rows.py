"""What the deck formats share: rows gathered as columns, every bad one named, one error at the end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.colorimetry.lrv import lrv as lrv_of
from matcher.errors import DeckError, Problem
from matcher.paints.deck import Deck, FloatArray

BANDS_NM = tuple(range(380, 731, 10))
MOST_PROBLEMS = 50

# A published LRV is Y of the 10 degree observer and often a whole number, and a hex colour is rounded to 8 bits. Over
# all 1269 measured Munsell chips Y(10) - Y(2) ran from -3.3 to +2.0 points, computed with the CIE observers; half a
# point for the rounded figure and half for hex leave 4.3.
LRV_TOLERANCE = 4.5
# Assumption: no opaque paint is more chromatic; MacAdam's limits lie well inside for all but fluorescent colours.
MOST_CHROMATIC = 150.0


@dataclass(slots=True)
class Problems:
    """Mistakes of one deck file, in the order found."""

    found: list[Problem] = field(default_factory=list)

    def add(self, where: str, what: str, remedy: str = "") -> None:
        """Note one mistake; ``where`` is the place within the file."""
        self.found.append(Problem(where, what, remedy))

    def raise_if_any(self, file: str) -> None:
        """Raise one DeckError for all; a list too long to read ends with a count."""
        if not self.found:
            return
        listed = [
            Problem(f"{file}, {one.where}" if one.where else file, one.what, one.remedy)
            for one in self.found[:MOST_PROBLEMS]
        ]
        rest = len(self.found) - MOST_PROBLEMS
        if rest > 0:
            listed.append(Problem(file, f"and {rest} more like these", "Mend the ones above and read the file again."))
        raise DeckError(*listed)


@dataclass(frozen=True, slots=True, eq=False)
class Columns:
    """N paints as a format gives them: ``rows`` names each one's place.

    NaN in ``lrv`` (N,) and ``reflectance`` (N, 36) is absent, in ``lab`` (N, 3) unreadable and already a problem.
    """

    rows: Sequence[str]
    codes: Sequence[str]
    names: Sequence[str]
    collections: Sequence[str]
    lab: FloatArray
    lrv: FloatArray
    exterior: NDArray[np.bool_]
    reflectance: FloatArray | None


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
    blank = np.array([not text for text in texts], dtype=bool)
    filled = [text or "nan" for text in texts] if blank.any() else texts
    try:
        values = np.array(filled, dtype=float)
    except ValueError:
        values = np.array([_number_or_nan(text) for text in filled])
    with np.errstate(invalid="ignore"):
        bad = ~((values >= low) & (values <= high))
    if optional:
        bad &= ~blank
    for index in np.flatnonzero(bad).tolist():
        problems.add(f"{rows[index]}, column {column}", *_complaint(texts[index], values[index], limits))
    values[bad] = np.nan
    return values


def _number_or_nan(text: str) -> float:
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
        return f"{text!r} is not a number", allowed.replace("number", "number" + comma)
    return f"{text} is outside {limits[0]:g} to {limits[1]:g}", allowed


def to_deck(columns: Columns, *, name: str, sha256: str, problems: Problems) -> Deck:
    """Check what every format has in common and return the deck; mistakes are added to ``problems``.

    A published LRV that disagrees with the colour by more than ``LRV_TOLERANCE`` is one.
    """
    _check_codes(columns, problems)
    computed = np.asarray(lrv_of(columns.lab), dtype=float)
    with np.errstate(invalid="ignore"):
        apart = np.abs(columns.lrv - computed) > LRV_TOLERANCE
    for index in np.flatnonzero(apart).tolist():
        problems.add(
            f"{columns.rows[index]}, column lrv",
            f"{columns.lrv[index]:g} disagrees with the colour, whose LRV is {computed[index]:.1f}",
            f"They may differ by {LRV_TOLERANCE:g} points; correct the one that is wrong, or leave lrv empty.",
        )
    return Deck(
        name=name,
        sha256=sha256,
        codes=tuple(columns.codes),
        names=tuple(columns.names),
        collections=tuple(columns.collections),
        lab=_frozen(columns.lab),
        lrv=_frozen(np.where(np.isnan(columns.lrv), computed, columns.lrv)),
        exterior=_frozen(columns.exterior),
        reflectance=None if columns.reflectance is None else _frozen(columns.reflectance),
    )


def _check_codes(columns: Columns, problems: Problems) -> None:
    if not columns.codes and not problems.found:
        problems.add("", "holds no paint", "Add at least one row below the header.")
    complete = all(columns.codes) and all(columns.names)
    if complete and len(set(columns.codes)) == len(columns.codes):
        return
    first_row: dict[str, str] = {}
    for row, code, name in zip(columns.rows, columns.codes, columns.names, strict=True):
        if not name:
            problems.add(f"{row}, column name", "is empty", "Give every paint a name.")
        if not code:
            problems.add(f"{row}, column code", "is empty", "Give every paint a code of its own.")
        elif code in first_row:
            problems.add(
                f"{row}, column code", f"{code!r} stands already in {first_row[code]}", "Give each paint its own code."
            )
        else:
            first_row[code] = row


def _frozen(array: NDArray[Any]) -> NDArray[Any]:
    array.setflags(write=False)
    return array
