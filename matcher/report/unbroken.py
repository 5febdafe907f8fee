"""Paint codes kept whole in HTML: a browser ends a line after any hyphen, and half a code is not found in a deck."""

from __future__ import annotations

import re
from html import escape

_WORD = re.compile(r"\S+")


def unbroken(text: str) -> str:
    """Return ``text`` escaped for HTML, each word with a hyphen and a digit, a code as a rule, kept on one line."""
    return _WORD.sub(lambda found: _whole(found[0]), text)


def _whole(word: str) -> str:
    if "-" in word and any(letter.isdigit() for letter in word):
        return f'<span class="unbroken">{escape(word)}</span>'
    return escape(word)
