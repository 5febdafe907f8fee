"""The light and the observer that a text says its values are for, taken out of it."""

from __future__ import annotations

import re

_DEGREES = r"(?:\s*(?:°|º|deg(?:rees?)?\b))"
_LIGHT = r"D(?:50|55|65|75)"
# D65/10, D65 10°, C/2; 10°/D65; illuminant A; 10 degree observer, observer: 2°.
_PATTERNS = (
    re.compile(rf"(?<!\w)(?P<observer>10|2){_DEGREES}?\s*/\s*(?P<light>{_LIGHT}|[AC])(?!\w)", re.IGNORECASE),
    re.compile(rf"(?<!\w)(?P<light>{_LIGHT}|[AC])\s*/\s*(?P<observer>10|2){_DEGREES}?(?![\w.,])", re.IGNORECASE),
    re.compile(rf"(?<!\w)(?P<light>{_LIGHT})[\s,;-]*(?P<observer>10|2){_DEGREES}", re.IGNORECASE),
    re.compile(rf"(?<!\w)(?P<light>{_LIGHT})(?!\w)", re.IGNORECASE),
    re.compile(r"(?<!\w)illuminant\W{0,3}(?P<light>[AC])(?!\w)", re.IGNORECASE),
    re.compile(rf"(?<!\w)(?P<observer>10|2){_DEGREES}?\s*-?\s*(?:standard\s+)?observer", re.IGNORECASE),
    re.compile(rf"(?<!\w)observer\W{{0,3}}(?P<observer>10|2){_DEGREES}?(?![\w.,])", re.IGNORECASE),
)
_WORDS = re.compile(r"(?<!\w)(?:illuminant|observer)(?!\w)", re.IGNORECASE)


def take_conditions(line: str) -> tuple[str, str | None, int | None]:
    """Return the line without them, the light (a CIE name) and the observer (2 or 10), None where not said.

    Runs of blanks mean nothing and become one: looked through for what may stand between them, a line of 5,000 blanks
    took two seconds.

    >>> take_conditions("Lab(D50/2) 55 14 28")
    ('Lab( ) 55 14 28', 'D50', 2)
    """
    found: list[dict[str, str | None]] = []
    line = " ".join(line.split())

    def taken(match: re.Match[str]) -> str:
        found.append(match.groupdict())
        return " "

    for pattern in _PATTERNS:
        line = pattern.sub(taken, line)
    light = next((one["light"] for one in found if one.get("light")), None)
    observer = next((one["observer"] for one in found if one.get("observer")), None)
    return _WORDS.sub(" ", line), light.upper() if light else None, int(observer) if observer else None
