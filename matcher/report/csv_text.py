"""Text as it stands in a cell that a spreadsheet may open."""

from __future__ import annotations

# What a spreadsheet takes for the beginning of a formula (OWASP, "CSV Injection").
_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def plain_cell(text: str) -> str:
    """Return ``text`` so that no spreadsheet runs it: a number stays one, anything else gets a mark in front.

    >>> plain_cell("demo-1"), plain_cell("-12.5"), plain_cell("=1+1")
    ('demo-1', '-12.5', "'=1+1")
    """
    if not text.startswith(_FORMULA):
        return text
    try:
        float(text)
    except ValueError:
        return f"'{text}"
    return text
