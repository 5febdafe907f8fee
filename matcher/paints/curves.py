"""The reflectance of every paint of a deck, as its file has it or else recovered from its colour; kept once made."""

from __future__ import annotations

from matcher.colorimetry.curves import Curves, curves_of
from matcher.paints.deck import Deck
from matcher.recall import Recall

# Decks at once; 3,000 paints take a megabyte.
_kept = Recall(4)


def deck_curves(deck: Deck) -> Curves:
    """Return the curves of the deck's paints, in its order; the second time they cost nothing.

    Kept for as long as the process runs and not on disk, where reading them would take as long as making them.
    """
    # Some paints of a deck have its hash and rows of their own.
    return _kept.of((deck.sha256, deck.codes), lambda: curves_of(deck.lab, deck.reflectance))
