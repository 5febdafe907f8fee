"""Readings typed or pasted line by line: with letters (L* 55.2 a* 14.1 b* 27.9), or three bare numbers a line."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from matcher.errors import Problem, ReadingError
from matcher.instrument.conditions import take_conditions
from matcher.instrument.decimals import NUMBER, numbers_in, with_points
from matcher.instrument.letters import HEADINGS, LETTER, ORDERS, plain, spelled, written
from matcher.instrument.understood import Kind, Remark, Written

# A letter, what stands between it and its number, the number. A difference (dL*) is no reading.
_LRV = re.compile(rf"(?<!\w)LRV\s*[:=]?\s*({NUMBER.pattern})", re.IGNORECASE)
_LETTERED = re.compile(rf"(?<![\w*∆])(?P<letter>{LETTER})\s*(?:\([\s)]*)?[:=]?\s*(?P<number>{NUMBER.pattern})")


@dataclass(slots=True)
class _Line:
    """A line with decimal points; ``heading`` is the kind that it names, or that a line above it does."""

    where: str
    text: str
    light: str | None
    observer: int | None
    heading: Kind | None
    lrv: float | None = None


def read_typed(lines: Sequence[tuple[int, str]]) -> tuple[list[Written], list[Remark]]:
    """Return the readings of numbered lines. Raises :class:`ReadingError` for the first that cannot be read."""
    read = _read_lines(lines)
    if any(plain(match["letter"]) != "LRV" for line in read for match in _LETTERED.finditer(line.text)):
        return _lettered(read), []
    if not any(numbers_in(_LRV.sub(" ", line.text)) for line in read):
        return _lettered(read) or _nothing(), []
    return _bare(read)


def _read_lines(lines: Sequence[tuple[int, str]]) -> list[_Line]:
    found: list[_Line] = []
    light: str | None = None
    observer: int | None = None
    heading: Kind | None = None
    for number, line in lines:
        where = f"line {number}"
        text, own_light, own_observer = take_conditions(line)
        text = " ".join(text.split())
        for kind, pattern in HEADINGS.items():
            text, count = pattern.subn(" ", text, count=1)
            heading = kind if count else heading
        # A run of commas has become one of blanks, which would be looked through again and again.
        text = " ".join(with_points(text, where).split())
        light, observer = own_light or light, own_observer or observer
        found.append(_Line(where, text, light, observer, heading))
    return found


def _lettered(lines: Sequence[_Line]) -> list[Written]:
    """Return a reading for each set of letters; a letter that comes again begins the next."""
    found: list[Written] = []
    begun: dict[str, float] = {}
    first: _Line | None = None

    def close() -> None:
        if first is not None and begun:
            found.append(written(first.where, begun, first.light, first.observer))

    for line in lines:
        for match in _LETTERED.finditer(line.text):
            letter = plain(match["letter"])
            if letter in begun:
                close()
                begun, first = {}, None
            first = first or line
            begun[letter] = float(match["number"])
    close()
    return found


def _nothing() -> list[Written]:
    raise ReadingError(
        Problem("reading", "no values were found in it", "Type, for example, L* 55.2 a* 14.1 b* 27.9 (D65/2).")
    )


def _bare(lines: Sequence[_Line]) -> tuple[list[Written], list[Remark]]:
    for line in lines:
        beside = _LRV.search(line.text)
        line.lrv, line.text = float(beside[1]) if beside else None, _LRV.sub(" ", line.text)
    numbered = [(line, values) for line in lines if (values := numbers_in(line.text))]
    if len(numbered) == 3 and all(len(values) == 1 for _, values in numbered):
        # One value a line, as a display shows them.
        numbered = [(numbered[0][0], [values[0] for _, values in numbered])]
    found = []
    for line, values in numbered:
        kind = line.heading or "lab"
        if len(values) != 3:
            what = f"has {len(values)} numbers where three belong ({spelled(kind)})"
            raise ReadingError(Problem(line.where, what, "Write the letter before each value."))
        lettered = dict(zip(ORDERS[kind], values, strict=True))
        if line.lrv is not None:
            lettered["LRV"] = line.lrv
        found.append(written(line.where, lettered, line.light, line.observer))
    silent = any(line.heading is None for line, _ in numbered)
    return found, [Remark("letters assumed", (("order", spelled("lab")),))] if silent else []
