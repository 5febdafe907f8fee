"""Decks and single paints: validated, described, compared."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from matcher.description.colour import ColourDescription
    from matcher.paints.deck import Deck

Json = dict[str, Any]
_AT_ONCE = 4096  # paints of a deck that are described together


def load_deck(path: Path | None) -> Deck:
    """Read a deck file, or the invented deck of the package where none is named."""
    from matcher.paints.reading import demo_deck, read_deck

    return demo_deck() if path is None else read_deck(path)


def check_deck(path: Path) -> Json:
    """Validate a deck file; raises :class:`matcher.errors.DeckError` with every bad row."""
    deck = load_deck(path)
    return {"name": deck.name, "size": len(deck), "sha256": deck.sha256}


@dataclass(frozen=True, slots=True)
class DescribedDeck:
    """What is said of every paint, in file order, some thousand at a time; ``longest_code`` in letters."""

    longest_code: int
    parts: Iterator[list[Json]]


def described_deck(path: Path, *, lights: Sequence[str] = ()) -> DescribedDeck:
    """Describe a deck part by part, for what writes as it goes: all that is said of a million paints is gigabytes."""
    deck = load_deck(path)
    starts = range(0, len(deck), _AT_ONCE)
    parts = (_entries(deck, range(start, min(start + _AT_ONCE, len(deck))), lights) for start in starts)
    return DescribedDeck(max(map(len, deck.codes)), parts)


def describe_deck(path: Path, *, lights: Sequence[str] = ()) -> list[Json]:
    """Describe every paint of a deck, in file order, also as seen under CIE ``lights``."""
    return [entry for part in described_deck(path, lights=lights).parts for entry in part]


def describe_paint(
    *,
    code: str | None = None,
    lab: Sequence[float] | None = None,
    hex_text: str | None = None,
    deck_path: Path | None = None,
    other_decks: Sequence[Path] = (),
    lights: Sequence[str] = (),
) -> Json:
    """Describe one colour, named by a paint's ``code`` or name, by CIELAB or by sRGB; more in service/described.py.

    What ``deck_path`` does not have is sought in ``other_decks`` (:func:`matcher.service.decks.find_among`).
    """
    from matcher.service.described import described

    found = described(
        code=code, lab=lab, hex_text=hex_text, lights=lights, deck_path=deck_path, other_decks=other_decks
    )
    return found.entry


def compare_paints(codes: Sequence[str], *, deck_path: Path | None = None, other_decks: Sequence[Path] = ()) -> Json:
    """Put two or more paints side by side, every pair compared.

    What ``deck_path`` does not have is sought in ``other_decks``; such a paint is called ``DECK:CODE``.
    """
    from matcher.service.decks import load_decks

    return _compared(load_decks(deck_path, other_decks), codes)


def _compared(decks: Sequence[Deck], codes: Sequence[str]) -> Json:
    from matcher.description.comparison import compare_colours
    from matcher.report.colour_entry import comparison_entry
    from matcher.service.decks import find_all_among, label

    chosen = find_all_among(decks, codes)
    paints = [(label(decks, place, row), decks[place].lab[row], float(decks[place].lrv[row])) for place, row in chosen]
    pairs = [
        comparison_entry(compare_colours(lab_a, lab_b, lrv_a=lrv_a, lrv_b=lrv_b), a=a, b=b)
        for (a, lab_a, lrv_a), (b, lab_b, lrv_b) in combinations(paints, 2)
    ]
    return {"colours": [entry_among(decks, place, row, ()) for place, row in chosen], "pairs": pairs}


def compared_in_words(deck: Deck, codes: Sequence[str]) -> list[Json]:
    """Return every pair of two or more paints of a deck: its codes ``a`` and ``b``, what tells them apart as it
    ``says`` by name, and the ``numbers`` behind that.
    """
    from matcher.report.trade_words import sentence_case
    from matcher.report.wording import difference_numbers, difference_phrase

    result = _compared([deck], codes)
    names = {colour["code"]: colour["name"] for colour in result["colours"]}
    lrvs = {colour["code"]: colour["lrv"] for colour in result["colours"]}
    return [
        {
            "a": pair["a"],
            "b": pair["b"],
            "says": sentence_case(difference_phrase(pair, names)),
            "numbers": difference_numbers(pair, lrvs),
        }
        for pair in result["pairs"]
    ]


def near_paint(code: str, *, same_lrv: bool = False, deck_path: Path | None = None) -> dict[str, list[str]]:
    """Return the codes of a paint's neighbours in the deck by kind, best first."""
    found = near_colour(code=code, same_lrv=same_lrv, deck_path=deck_path)
    return {kind: [paint["code"] for paint in paints] for kind, paints in found.items()}


def near_colour(
    *,
    code: str | None = None,
    lab: Sequence[float] | None = None,
    hex_text: str | None = None,
    same_lrv: bool = False,
    deck_path: Path | None = None,
) -> dict[str, list[Json]]:
    """Return the neighbours of a colour in the deck by kind, best first: who they are, and the step to each.

    The colour is named as for :func:`describe_paint`; a paint of the deck is never its own neighbour.
    """
    from matcher.service.neighbours import neighbours

    found = neighbours(code=code, lab=lab, hex_text=hex_text, same_lrv=same_lrv, deck_path=deck_path)
    kinds: dict[str, list[Json]] = found["kinds"]
    return kinds


def entry_among(decks: Sequence[Deck], place: int, row: int, lights: Sequence[str]) -> Json:
    """Return the entry of a paint of one of several decks; one that is not of the first says of which."""
    from matcher.service.decks import label

    entry = _entries(decks[place], [row], lights)[0]
    return {**entry, "code": label(decks, place, row), "deck": decks[place].name} if place else entry


def _entries(deck: Deck, rows: Sequence[int], lights: Sequence[str]) -> list[Json]:
    from matcher.description.colour import describe_colours
    from matcher.paints.curves import deck_curves
    from matcher.report.colour_entry import colour_entry

    chosen = list(rows)
    # For some paints of a long deck only theirs.
    whole = deck_curves(deck) if lights and chosen == list(range(len(deck))) else None
    described: Sequence[ColourDescription] = describe_colours(
        deck.lab[chosen],
        lrvs=deck.lrv[chosen],
        lights=lights,
        reflectance=None if deck.reflectance is None else deck.reflectance[chosen],
        curves=whole,
    )
    return [
        colour_entry(colour, code=deck.codes[row], name=deck.names[row])
        for row, colour in zip(chosen, described, strict=True)
    ]
