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

    >>> take_conditions("Lab(D50/2) 55 14 28")
    ('Lab( ) 55 14 28', 'D50', 2)
    """
    light, observer = None, None
    for pattern in _PATTERNS:
        match = pattern.search(line)
        while match:
            found = match.groupdict()
            light = light or (found["light"].upper() if found.get("light") else None)
            observer = observer or (int(found["observer"]) if found.get("observer") else None)
            line = line[: match.start()] + " " + line[match.end() :]
            match = pattern.search(line)
    return _WORDS.sub(" ", line), light, observer
