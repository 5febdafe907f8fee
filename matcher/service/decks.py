"""Several decks side by side: the first is the paint's, the others are where else to look."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from matcher.service.paint import load_deck

if TYPE_CHECKING:
    from matcher.paints.deck import Deck

_MOST_NAMED = 5  # paints in a message


def load_decks(first: Path | None, others: Sequence[Path] = ()) -> tuple[Deck, ...]:
    """Read the decks; two that are called alike are numbered apart.

    Raises :class:`matcher.errors.RequestError` for a deck that is named twice, by content.
    """
    from matcher.errors import Problem, RequestError

    paths = (first, *others)
    decks: list[Deck] = []
    for path in paths:
        deck = load_deck(path)
        twin = next((place for place, other in enumerate(decks) if other.sha256 == deck.sha256), None)
        if twin is not None:
            said = f"is the same deck as {paths[twin] or deck.name}"
            raise RequestError(Problem(str(path), said, "Name each deck once with --deck"))
        decks.append(replace(deck, name=_own_name(deck.name, [other.name for other in decks])))
    return tuple(decks)


def _own_name(name: str, taken: Sequence[str]) -> str:
    number, own = 2, name
    while own in taken:
        own, number = f"{name} {number}", number + 1
    return own


def label(decks: Sequence[Deck], place: int, row: int) -> str:
    """Return how a paint is named among several decks: by its code in the first, as ``DECK:CODE`` in the others."""
    code = decks[place].codes[row]
    return f"{decks[place].name}:{code}" if place else code


def find_among(decks: Sequence[Deck], text: str, *, names: bool = True) -> tuple[int, int]:
    """Return which deck and row a paint is: a code, ``DECK:CODE`` or, with ``names``, a name.

    The first deck goes before the others. Raises :class:`matcher.errors.RequestError` for what none has, and for what
    several of the others have.
    """
    from matcher.description.asked import find_named, find_paints
    from matcher.description.same_name import same_name
    from matcher.errors import Problem, RequestError

    def rows(deck: Deck, wanted: str) -> tuple[int, ...]:
        if wanted in deck.row_of:
            return (deck.row_of[wanted],)
        return same_name(deck, wanted) if names else ()

    if len(decks) == 1 or rows(decks[0], text):
        return 0, find_named(decks[0], text) if names else find_paints(decks[0], [text])[0]
    for place, deck in enumerate(decks):
        code = text.removeprefix(f"{deck.name}:")
        if code != text and code in deck.row_of:
            return place, deck.row_of[code]
    found = [(place, row) for place, deck in enumerate(decks[1:], start=1) for row in rows(deck, text)]
    if len(found) == 1:
        return found[0]
    if not found:
        what = f"none of the decks {', '.join(repr(deck.name) for deck in decks)} has a code {text!r}"
        raise RequestError(Problem("paint", what, "See the codes with: givens deck describe FILE"))
    labels = ", ".join(label(decks, *one) for one in found[:_MOST_NAMED])
    more = "" if len(found) <= _MOST_NAMED else f" and {len(found) - _MOST_NAMED} more"
    what = f"{len(found)} paints of the other decks are called {text!r}"
    raise RequestError(Problem("paint", what, f"Name one of them: {labels}{more}."))


def find_all_among(decks: Sequence[Deck], codes: Sequence[str]) -> list[tuple[int, int]]:
    """Return deck and row of each of ``codes``; raises :class:`matcher.errors.RequestError` with every one amiss."""
    from matcher.errors import Problem, RequestError

    found: list[tuple[int, int]] = []
    problems: list[Problem] = []
    for code in codes:
        try:
            found.append(find_among(decks, code, names=False))
        except RequestError as error:
            problems += error.problems
    if problems:
        raise RequestError(*problems)
    return found
