"""Decks and single paints: validated, described, compared."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from matcher.description.colour import ColourDescription
    from matcher.paints.deck import Deck

Json = dict[str, Any]


def load_deck(path: Path | None) -> Deck:
    """Read a deck file, or the invented deck of the package where none is named."""
    from matcher.paints.reading import demo_deck, read_deck

    return demo_deck() if path is None else read_deck(path)


def check_deck(path: Path) -> Json:
    """Validate a deck file; raises :class:`matcher.errors.DeckError` with every bad row."""
    deck = load_deck(path)
    return {"name": deck.name, "size": len(deck), "sha256": deck.sha256}


def describe_deck(path: Path, *, lights: Sequence[str] = ()) -> list[Json]:
    """Describe every paint of a deck, in file order, also as seen under CIE ``lights``."""
    deck = load_deck(path)
    return _entries(deck, range(len(deck)), lights)


def describe_paint(
    *,
    code: str | None = None,
    lab: Sequence[float] | None = None,
    hex_text: str | None = None,
    deck_path: Path | None = None,
    lights: Sequence[str] = (),
) -> Json:
    """Describe one colour, named by a paint's ``code`` or name, by CIELAB or by sRGB; Munsell notation included."""
    from matcher.colorimetry.munsell import munsell_notation
    from matcher.description.asked import checked_lab, find_named, hex_colour
    from matcher.description.colour import describe_colours
    from matcher.report.colour_entry import colour_entry

    if code is not None:
        deck = load_deck(deck_path)
        row = find_named(deck, code)
        entry = _entries(deck, [row], lights)[0]
        colour: Sequence[float] = deck.lab[row].tolist()
    else:
        colour = checked_lab(lab) if lab is not None else hex_colour(hex_text or "")
        entry = colour_entry(describe_colours([colour], lights=lights)[0], code="", name="")
    return {**entry, "munsell": munsell_notation(colour)}


def compare_paints(codes: Sequence[str], *, deck_path: Path | None = None) -> Json:
    """Put two or more paints side by side, every pair compared."""
    return _compared(load_deck(deck_path), codes)


def _compared(deck: Deck, codes: Sequence[str]) -> Json:
    from matcher.description.asked import find_paints
    from matcher.description.comparison import compare_colours
    from matcher.report.colour_entry import comparison_entry

    rows = find_paints(deck, codes)
    pairs = [
        comparison_entry(
            compare_colours(deck.lab[a], deck.lab[b], lrv_a=float(deck.lrv[a]), lrv_b=float(deck.lrv[b])),
            a=deck.codes[a],
            b=deck.codes[b],
        )
        for a, b in combinations(rows, 2)
    ]
    return {"colours": _entries(deck, rows, ()), "pairs": pairs}


def compared_in_words(deck: Deck, codes: Sequence[str]) -> list[Json]:
    """Return every pair of two or more paints of a deck: its codes ``a`` and ``b``, what tells them apart as it
    ``says`` by name, and the ``numbers`` behind that.
    """
    from matcher.report.trade_words import sentence_case
    from matcher.report.wording import difference_numbers, difference_phrase

    result = _compared(deck, codes)
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
    """Return the neighbours of a colour in the deck by kind, best first: ``code``, ``name``, ``lrv``, ``hex``.

    The colour is named as for :func:`describe_paint`; a paint of the deck is never its own neighbour.
    """
    from dataclasses import asdict

    import numpy as np

    from matcher.colorimetry.lrv import lrv
    from matcher.description.asked import checked_lab, find_named, hex_colour
    from matcher.description.lookalikes import around, lookalikes

    deck = load_deck(deck_path)
    if code is not None:
        found = lookalikes(deck, find_named(deck, code), same_lrv=same_lrv)
    else:
        colour = np.asarray(checked_lab(lab) if lab is not None else hex_colour(hex_text or ""))
        found = around(deck, colour, float(lrv(colour)), same_lrv=same_lrv)
    kept = ("code", "name", "lrv", "hex")
    return {
        kind: [{key: entry[key] for key in kept} for entry in _entries(deck, rows, ())]
        for kind, rows in asdict(found).items()
    }


def _entries(deck: Deck, rows: Sequence[int], lights: Sequence[str]) -> list[Json]:
    from matcher.description.colour import describe_colours
    from matcher.paints.curves import deck_curves
    from matcher.report.colour_entry import colour_entry

    chosen = list(rows)
    # For a few paints of a long deck only theirs.
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
