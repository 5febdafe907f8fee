"""The letters that colour values go by, and what a set of them amounts to."""

from __future__ import annotations

import re
from collections.abc import Mapping

from matcher.errors import Problem, ReadingError
from matcher.instrument.understood import Kind, Written

# Kind, the letters of it in its order, and what each may be: CIE 015:2018 lets C* and hue be anything that follows.
ORDERS: dict[Kind, tuple[str, ...]] = {
    "lab": ("L", "a", "b"),
    "lch": ("L", "C", "h"),
    "xyz": ("X", "Y", "Z"),
    "yxy": ("Y", "x", "y"),
}
_LIMITS: dict[str, tuple[float, float]] = {
    "L": (0, 100), "a": (-150, 150), "b": (-150, 150), "C": (0, 200), "h": (-360, 720),
    "X": (0, 200), "Y": (0, 120), "Z": (0, 200), "x": (0, 1), "y": (0.001, 1), "LRV": (0, 100),
}  # fmt: skip
_SHOWN = {"L": "L*", "a": "a*", "b": "b*", "C": "C*"}
# One letter as people and instruments write it.
LETTER = r"LRV|L\*?|[aAbB]\*?|[Cc](?:\*(?:ab)?|ab)?|[hH](?:°|ab)?|[XYZxyz](?![A-Za-z])"


def plain(letter: str) -> str:
    """Return a letter as :data:`ORDERS` has it; X, Y, Z and x, y differ by case alone.

    >>> plain("L*"), plain("A"), plain("hab"), plain("x")
    ('L', 'a', 'h', 'x')
    """
    if letter.upper() == "LRV":
        return "LRV"
    first = letter[:1]
    return {"A": "a", "B": "b", "c": "C", "H": "h"}.get(first, first)


def written(where: str, values: Mapping[str, float], light: str | None, observer: int | None) -> Written:
    """Return the reading that lettered ``values`` amount to.

    Raises :class:`ReadingError` where letters are missing or a value is impossible.
    """
    kind = next((kind for kind, order in ORDERS.items() if set(order) <= values.keys()), None)
    if kind is None:
        raise ReadingError(_incomplete(where, values))
    lrv = values.get("LRV")
    if kind in ("lab", "lch") and lrv is None:
        lrv = values.get("Y")
    order = ORDERS[kind]
    check_limits(where, {letter: values[letter] for letter in order})
    return Written(where, kind, tuple(values[letter] for letter in order), light=light, observer=observer, lrv=lrv)


def check_limits(where: str, values: Mapping[str, float]) -> None:
    """Raise :class:`ReadingError` for a value that no surface has."""
    for letter, value in values.items():
        low, high = _LIMITS[letter]
        if not low <= value <= high:
            what = f"{_SHOWN.get(letter, letter)} is {value:g}, outside {low:g} to {high:g}"
            raise ReadingError(Problem(where, what, "Check the value and which letter it belongs to."))


def spelled(kind: Kind) -> str:
    """Return the letters of a kind as they are shown.

    >>> spelled("lab")
    'L* a* b*'
    """
    return " ".join(_SHOWN.get(letter, letter) for letter in ORDERS[kind])


def _incomplete(where: str, values: Mapping[str, float]) -> Problem:
    if values.keys() <= {"Y", "LRV"}:
        return Problem(
            where,
            "a lightness alone (LRV or Y) is no colour",
            "Give L*, a* and b*, or L*, C* and h, or X, Y and Z.",
        )
    nearest = max(ORDERS, key=lambda kind: len(set(ORDERS[kind]) & values.keys()))
    missing = [_SHOWN.get(letter, letter) for letter in ORDERS[nearest] if letter not in values]
    found = ", ".join(_SHOWN.get(letter, letter) for letter in values)
    return Problem(where, f"has {found} without {' and '.join(missing)}", "Give all three values of a reading.")


_HEADINGS: dict[Kind, str] = {
    "lab": r"(?:L\*?[\s,;/]*a\*?[\s,;/]*b\*?|LAB)",
    "lch": r"(?:L\*?[\s,;/]*C\*?(?:ab)?[\s,;/]*[hH]°?(?:ab)?|LCH)",
    "xyz": r"X[\s,;/]*Y[\s,;/]*Z",
    "yxy": r"Y[\s,;/]*x[\s,;/]*y",
}
# The letters of a kind with no value between them.
HEADINGS: dict[Kind, re.Pattern[str]] = {
    kind: re.compile(rf"(?<!\w)(?:CIE\s*)?{pattern}(?!\w|\*)") for kind, pattern in _HEADINGS.items()
}
