"""Sheen in the words of the shop, which stand for more than one gloss from maker to maker."""

from __future__ import annotations

from collections.abc import Sequence

from matcher.handover import words
from matcher.quantities.sheen import words_for


def client_sheen(gloss_60: Sequence[float]) -> str:
    """Return what a client asks for: the words from the dullest to the shiniest that a range of gloss units covers.

    >>> client_sheen((0.0, 5.0)), client_sheen((20.0, 60.0))
    ('matt', 'eggshell to semi-gloss')
    """
    first, *others = (word for word in words_for((gloss_60[0], gloss_60[1])) if word != _RARE)
    return words.SHEEN_RANGE.format(first=first, last=others[-1]) if others else first


# A word of standards that few shops use; the ones beside it cover the same gloss.
_RARE = "velvet"
