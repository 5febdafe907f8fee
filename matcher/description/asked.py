"""What a user names a colour by: the code or the name of a paint, CIELAB, or sRGB in hex."""

from __future__ import annotations

from collections.abc import Sequence
from difflib import get_close_matches

from matcher.colorimetry.spaces import hex_to_lab
from matcher.description.same_name import same_name
from matcher.errors import Problem, RequestError
from matcher.paints.deck import Deck

_MOST_NAMED = 5  # codes in a message
# Beyond about 130 of a* and b* there is no surface colour under D65.
_MOST_CHROMATIC = 130
_LAB_PARTS = 3


def find_paints(deck: Deck, codes: Sequence[str], *, where: str = "paint") -> list[int]:
    """Return the rows of ``codes``; raises :class:`matcher.errors.RequestError` with every unknown one."""
    unknown = [code for code in codes if code not in deck.row_of]
    if unknown:
        raise RequestError(*(_unknown(code, deck, where) for code in unknown))
    return [deck.row_of[code] for code in codes]


def find_named(deck: Deck, text: str, *, where: str = "paint") -> int:
    """Return the row of the paint of that code or, where no code is so called, of that name in any case.

    Raises :class:`matcher.errors.RequestError` for what is neither, and for a name that several paints have.
    """
    if text in deck.row_of:
        return deck.row_of[text]
    rows = same_name(deck, text)
    if len(rows) > 1:
        codes = ", ".join(deck.codes[row] for row in rows[:_MOST_NAMED])
        more = "" if len(rows) <= _MOST_NAMED else f" and {len(rows) - _MOST_NAMED} more"
        raise RequestError(
            Problem(where, f"{len(rows)} paints are called {text!r}", f"Name one by code: {codes}{more}.")
        )
    return rows[0] if rows else find_paints(deck, [text], where=where)[0]


def checked_lab(lab: Sequence[float], *, where: str = "--lab") -> list[float]:
    """Return CIELAB as three numbers; raises :class:`matcher.errors.RequestError` outside what a surface can have."""
    lightness, a, b = (float(part) for part in lab)
    # Comparisons with NaN are false, so NaN is refused too.
    if not (0 <= lightness <= 100 and abs(a) <= _MOST_CHROMATIC and abs(b) <= _MOST_CHROMATIC):
        what = f"{lightness:g} {a:g} {b:g} is no surface colour"
        raise RequestError(Problem(where, what, "L goes from 0 to 100, a and b from -130 to 130"))
    return [lightness, a, b]


def hex_colour(text: str, *, where: str = "--hex") -> list[float]:
    """Return CIELAB of ``#rrggbb``; raises :class:`matcher.errors.RequestError` for anything else."""
    try:
        return [float(part) for part in hex_to_lab(text)]
    except ValueError:
        problem = Problem(where, f"{text!r} is no sRGB colour", "Write # and six hex digits, as in #d8d0c2")
        raise RequestError(problem) from None


def stated_colour(text: str, *, where: str) -> list[float] | None:
    """Return CIELAB of ``L a b`` or ``#rrggbb``; None where ``text`` is neither and so may name a paint.

    Raises :class:`matcher.errors.RequestError` for numbers that are no colour.
    """
    try:
        numbers = [float(part) for part in text.replace(",", " ").split()]
    except ValueError:
        numbers = []
    if len(numbers) == _LAB_PARTS:
        return checked_lab(numbers, where=where)
    return hex_colour(text.strip(), where=where) if text.strip().startswith("#") else None


def _unknown(code: str, deck: Deck, where: str) -> Problem:
    same = [known for known in deck.codes if known.casefold() == code.strip().casefold()]
    close = same or get_close_matches(code, deck.codes, n=3)
    named = get_close_matches(code, deck.names, n=3) if not close else []
    close = close or [f"{name} ({deck.codes[deck.names.index(name)]})" for name in named]
    remedy = f"Did you mean {', '.join(close)}?" if close else "See the codes with: givens deck describe FILE"
    return Problem(where, f"the deck {deck.name!r} has no code {code!r}", remedy)
