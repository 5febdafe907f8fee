"""A question about one role, asked and answered in one line."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from matcher.paints.deck import Deck
from matcher.ranking.question import Setting, ask
from matcher.ranking.rank import rank
from matcher.ranking.score import Scores, score
from matcher.ranking.shortlist import Shortlist
from matcher.surfaces.surface import Surface


def shortlist(
    role: str, surfaces: Sequence[Surface], deck: Deck, setting: Setting | None = None, **options: Any
) -> Shortlist:
    """Return the list of one role; ``options`` are :func:`rank`'s."""
    return rank(ask([role], surfaces, deck, setting), role, **options)


def scores(role: str, surfaces: Sequence[Surface], deck: Deck, setting: Setting | None = None) -> Scores:
    """Return what every paint scores in one role."""
    return score(ask([role], surfaces, deck, setting), role)
