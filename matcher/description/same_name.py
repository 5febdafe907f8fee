"""The paints of a deck that are called as another is: the same name is no promise of the same colour."""

from __future__ import annotations

from matcher.paints.deck import Deck


def folded(name: str) -> str:
    """Return a name as it is compared: in no case, its spaces single."""
    return " ".join(name.casefold().split())


def same_name(deck: Deck, name: str, *, paint: int | None = None) -> tuple[int, ...]:
    """Return the rows of the paints called ``name``, in file order, but for row ``paint``; none for an empty name."""
    wanted = folded(name)
    if not wanted:
        return ()
    return tuple(row for row, known in enumerate(deck.names) if row != paint and folded(known) == wanted)
