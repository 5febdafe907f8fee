"""What roles, surfaces and paints are called on paper, none of them longer than a line has room for."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from matcher.handover.words import PLURAL_ROLES, ROLE_WORDS
from matcher.report.trade_words import listed, sentence_case

# Assumption, by looking: what fits its place in the longest line of either paper.
TITLE, NAME, CODE = 70, 36, 24
# A word that no column has room for may be broken anywhere; every language's longest everyday words are shorter.
MAY_BREAK = "\N{ZERO WIDTH SPACE}"
_LONG_WORD, _PIECE = re.compile(r"[^\s\-]{24,}"), re.compile(r".{1,8}")


def shortened(text: str, most: int) -> str:
    """Return ``text``, cut at a word where it is longer than ``most`` letters.

    >>> shortened("Alder Row kitchen", 40), shortened("A kitchen with a very long name", 18)
    ('Alder Row kitchen', 'A kitchen with a…')
    """
    line = " ".join(text.split())
    if len(line) > most:
        cut = line[: most - 1]
        head, _, tail = cut.rpartition(" ")
        line = (head if head and len(tail) < most // 2 else cut).rstrip(" ,.;:") + "\N{HORIZONTAL ELLIPSIS}"
    return _LONG_WORD.sub(lambda word: MAY_BREAK.join(_PIECE.findall(word[0])), line)


def role_word(role: str) -> str:
    """Return a role within a sentence."""
    return ROLE_WORDS[role]


def role_heading(role: str) -> str:
    """Return a role as a heading."""
    return ROLE_WORDS[role].capitalize()


def is_plural(roles: Sequence[str]) -> bool:
    """Tell whether a verb after these roles is a plural's."""
    return len(roles) > 1 or roles[0] in PLURAL_ROLES


def roles_listed(roles: Iterable[str]) -> str:
    """Return ``walls, trim and ceiling``."""
    return listed(role_word(role) for role in roles)


def surface_word(name: str) -> str:
    """Return a surface within a sentence."""
    return shortened(name, NAME)


def surface_heading(name: str, most: int = NAME) -> str:
    """Return a surface as a heading."""
    return sentence_case(shortened(name, most))
