"""A paint found by a few letters: of its code before its name, at the beginning before inside."""

from __future__ import annotations

from pathlib import Path

import pytest

from matcher.paints.reading import demo_deck, read_deck
from matcher.service.deck_search import MOST_FOUND, DeckIndex, index_of, paints_called, search_deck

ROWS = """code,name,hex
T-12,Sugob Lorvad,#7a8a70
T-1,Gombul,#c8b89a
12,Nard Telm,#2a2a2c
Q1,12 Bundor,#aab0b8
X9-t,Straße,#d0d0d0
lorvad,Telmond,#405060
"""


@pytest.fixture
def index(tmp_path: Path) -> DeckIndex:
    path = tmp_path / "deck.csv"
    path.write_text(ROWS, encoding="utf-8")
    return index_of(read_deck(path))


@pytest.mark.parametrize(
    ("text", "codes"),
    [
        ("12", ["12", "Q1", "T-12"]),  # the whole code, a name that begins so, a code that holds it
        ("t-1", ["T-1", "T-12"]),  # the whole code before the longer one that stands first in the file
        ("telm", ["lorvad", "12"]),
        ("LORVAD", ["lorvad", "T-12"]),
        ("  sugob   lorvad ", ["T-12"]),
        ("strasse", ["X9-t"]),  # Unicode case folding, as ß has no capital of its own (Unicode 16, CaseFolding.txt)
        ("\uff34-\uff11", ["T-1", "T-12"]),  # wide letters (Unicode Standard Annex 15, NFKC)
        ("nothing", []),
    ],
)
def test_letters_find_paints_in_the_order_of_how_well_they_fit(index: DeckIndex, text: str, codes: list[str]) -> None:
    assert [paint["code"] for paint in search_deck(index, text)] == codes


def test_without_letters_come_the_paints_that_follow_a_code(index: DeckIndex) -> None:
    assert [paint["code"] for paint in search_deck(index, " ", after="Q1")] == ["X9-t", "lorvad"]
    assert [paint["code"] for paint in search_deck(index, "")] == list(index.deck.codes)
    assert [paint["code"] for paint in search_deck(index, "", after="gone")] == list(index.deck.codes)
    assert search_deck(index, "", after="lorvad") == []


def test_a_paint_comes_with_its_name_and_colour_and_a_long_list_is_cut(index: DeckIndex) -> None:
    assert search_deck(index, "gombul") == [{"code": "T-1", "name": "Gombul", "hex": "#c8b89a"}]
    assert paints_called(index.deck, ["gone", "12", "12"]) == {
        "12": {"code": "12", "name": "Nard Telm", "hex": "#2a2a2c"}
    }
    demo = index_of(demo_deck())
    found = search_deck(demo, "demo-")
    assert [paint["code"] for paint in found] == list(demo.deck.codes[:MOST_FOUND])
