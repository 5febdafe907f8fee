"""Finding one paint of the deck by a few letters of its code or name: a deck is too long to choose from as a list."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matcher.paints.deck import Deck

MOST_FOUND = 20  # assumption: more than that is not read, letters are added instead

PaintEntry = dict[str, str]
"""``code``, ``name`` and ``hex`` of a paint."""


@dataclass(frozen=True, slots=True, eq=False)
class DeckIndex:
    """A ``deck`` with its ``codes`` and ``names`` as they are compared."""

    deck: Deck
    codes: tuple[str, ...]
    names: tuple[str, ...]


def index_of(deck: Deck) -> DeckIndex:
    """Return what searches in a deck look at; made once a deck."""
    return DeckIndex(deck, tuple(map(_folded, deck.codes)), tuple(map(_folded, deck.names)))


def search_deck(index: DeckIndex, text: str, *, after: str = "") -> list[PaintEntry]:
    """Return at most ``MOST_FOUND`` paints whose code or name holds ``text``, whatever its case.

    A whole code comes first, then codes that begin with it, names that begin with it, codes that hold it, names that
    hold it, each in the deck's order. Without a text: the paints that follow the code ``after``, or the first ones.
    """
    wanted = _folded(text)
    if not wanted:
        start = index.deck.row_of.get(after, -1) + 1
        return _entries(index.deck, range(start, min(start + MOST_FOUND, len(index.deck))))
    return _entries(index.deck, _ordered(index, wanted))


def meant_codes(index: DeckIndex, text: str) -> list[str]:
    """Return the codes of the paints that a text names by code or whole name, parted by commas or lines.

    Raises :class:`matcher.errors.RequestError` naming each that no paint, or more than one, is called by.
    """
    from matcher.errors import Problem, RequestError

    codes, problems = [], []
    for said in filter(None, (part.strip() for part in text.replace("\n", ",").split(","))):
        wanted = _folded(said)
        rows = [row for row, code in enumerate(index.codes) if code == wanted]
        rows = rows or [row for row, name in enumerate(index.names) if name == wanted]
        if len(rows) == 1:
            codes.append(index.deck.codes[rows[0]])
        elif rows:
            called = ", ".join(index.deck.codes[row] for row in rows[:MOST_FOUND])
            problems.append(Problem("", f"“{said}” is the name of several paints", f"Give the code: {called}."))
        else:
            near = [entry["code"] for entry in search_deck(index, said)[:3]]
            remedy = f"Did you mean {' or '.join(near)}?" if near else "Give its code or its whole name."
            problems.append(Problem("", f"“{said}” is no paint of this deck", remedy))
    if problems:
        raise RequestError(*problems)
    return list(dict.fromkeys(codes))


def paints_called(deck: Deck, codes: Iterable[str]) -> dict[str, PaintEntry]:
    """Return the paints of ``codes``, by code; those that the deck does not have are left out."""
    rows = [deck.row_of[code] for code in dict.fromkeys(codes) if code in deck.row_of]
    return {entry["code"]: entry for entry in _entries(deck, rows)}


def _ordered(index: DeckIndex, wanted: str) -> list[int]:
    whole: list[int] = []
    places: tuple[list[int], ...] = ([], [], [], [])
    for row, (code, name) in enumerate(zip(index.codes, index.names, strict=True)):
        if wanted in code:
            if code == wanted:
                whole.append(row)
            elif code.startswith(wanted):
                places[0].append(row)
            else:
                places[1 if name.startswith(wanted) else 2].append(row)
        elif wanted in name:
            places[1 if name.startswith(wanted) else 3].append(row)
    return [*whole, *(row for place in places for row in place)][:MOST_FOUND]


def _folded(text: str) -> str:
    """Compare letters, not how they are written (Unicode Standard Annex 15, NFKC) nor how they are spaced."""
    return " ".join(unicodedata.normalize("NFKC", text).casefold().split())


def _entries(deck: Deck, rows: Sequence[int]) -> list[PaintEntry]:
    from matcher.colorimetry.spaces import labs_to_hex

    chosen = list(rows)
    if not chosen:
        return []
    return [
        {"code": deck.codes[row], "name": deck.names[row], "hex": colour}
        for row, colour in zip(chosen, labs_to_hex(deck.lab[chosen]), strict=True)
    ]
