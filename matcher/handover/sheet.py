"""What every sheet carries: title, letterhead, running head and foot, paper."""

from __future__ import annotations

from datetime import date
from typing import Any

from matcher.handover.contents import Contents
from matcher.handover.naming import TITLE, shortened
from matcher.handover.words import MARK_ALT

_MARK_FILE = "mark.png"
# Countries whose usual paper is US Letter (ANSI/ASME Y14.1 size A); common practice, from memory. Others use ISO 216.
_LETTER = ("US", "CA")
A4, LETTER = "a4", "us-letter"
PAPERS = {"A4": A4, "Letter": LETTER}  # as the setting calls them
# Whose months come before the days; common practice.
_MONTH_FIRST = ("US",)


def paper_of(country: str | None) -> str:
    """Return the paper that a country uses, by its ISO 3166-1 code; A4 where it is not known."""
    return LETTER if country in _LETTER else A4


def day_in_words(day: date, country: str | None) -> str:
    """Return a date in words.

    >>> day_in_words(date(2026, 3, 1), None), day_in_words(date(2026, 3, 1), "US")
    ('1 March 2026', 'March 1, 2026')
    """
    month = _MONTHS[day.month - 1]
    return f"{month} {day.day}, {day.year}" if country in _MONTH_FIRST else f"{day.day} {month} {day.year}"


# Not by strftime, whose words depend on the machine.
_MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
           "November", "December")  # fmt: skip


def sheet_of(contents: Contents, name: str, *, page_of: str, foot: str, contact: bool = True) -> dict[str, Any]:
    """Return the part of a template's data that its head and foot need; ``name`` is what kind of sheet it is,
    ``contact`` whether its foot has room for the letterhead's lines.
    """
    letterhead = contents.letterhead
    room = shortened(contents.result["room"]["name"], TITLE)
    day = [] if letterhead.day is None else [day_in_words(letterhead.day, contents.site.country)]
    lines = [shortened(line, TITLE) for line in letterhead.contact] if contact else []
    return {
        "title": f"{room}: {name.lower()}",
        "author": [letterhead.name] if letterhead.name else [],
        "kind": name,
        "running": [*([name] if letterhead.name or letterhead.mark is not None else []), room, *day],
        "foot": [*lines, foot],
        "page_of": page_of,
        "paper": contents.paper,
        "region": contents.site.country or "GB",
        "letterhead": {
            "name": shortened(letterhead.name, TITLE),
            "mark": _MARK_FILE if letterhead.mark is not None else None,
            "mark_ratio": 1.0 if letterhead.mark is None else letterhead.mark.width / letterhead.mark.height,
            "mark_alt": MARK_ALT.format(name=letterhead.name or name),
        },
    }


def mark_file(contents: Contents) -> dict[str, bytes]:
    """Return the letterhead's mark by the name that the data call it; nothing where there is none."""
    mark = contents.letterhead.mark
    return {} if mark is None else {_MARK_FILE: mark.data}
