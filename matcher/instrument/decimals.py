"""The numbers in a line that a person typed or pasted: decimal points or decimal commas, told apart or asked about."""

from __future__ import annotations

import re

from matcher.errors import Problem, ReadingError

_POINT = re.compile(r"\d\.\d")
# Numbers strung together by commas alone.
_CHAIN = re.compile(r"(?<![\d.,])[-+]?\d+(?:,[-+]?\d+){2,}(?![\d.])")
_BETWEEN_DIGITS = re.compile(r"(?<=\d),(?=\d)")
NUMBER = re.compile(r"(?<![\w.])[-+]?(?:\d+(?:\.\d*)?|\.\d+)(?![\w.])")
_MINUS = str.maketrans({"\u2212": "-", "\u2013": "-", "\u00a0": " ", "\u202f": " "})


def with_points(line: str, where: str) -> str:
    """Return the line with decimal points, other commas as spaces.

    A comma between digits is a decimal one unless the line has decimal points or strings three numbers together.
    Raises :class:`ReadingError` where it could be either.

    >>> with_points("55,2 14,1 27,9", ""), with_points("55.2,14.1, 27.9", ""), with_points("55,14,-28", "")
    ('55.2 14.1 27.9', '55.2 14.1  27.9', '55 14 -28')
    """
    line = line.translate(_MINUS)
    if not _POINT.search(line):
        line = _CHAIN.sub(lambda match: _unchained(match[0], where), line)
        line = _BETWEEN_DIGITS.sub(".", line)
    return line.replace(",", " ")


def numbers_in(line: str) -> list[float]:
    """Return the numbers of a line with decimal points; digits that belong to a word are none."""
    return [float(text) for text in NUMBER.findall(line)]


def _unchained(chain: str, where: str) -> str:
    parts = chain.split(",")
    if len(parts) == 3:
        return " ".join(parts)
    raise ReadingError(
        Problem(
            where,
            f"in {chain[:60]!r} commas may part the numbers or stand for decimal points",
            "Put spaces or semicolons between the numbers.",
        )
    )
