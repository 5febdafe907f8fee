"""How a paint is sold: the deck's columns sizes, coverage and sheen, read and named row by row."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from matcher.errors import DeckError
from matcher.paints import csv_deck
from matcher.paints.deck import Deck
from matcher.paints.reading import demo_deck, read_deck

HEADER = "code,name,hex,sizes,coverage,sheen\n"
Read = Callable[[str], Deck]


@pytest.fixture
def read(tmp_path: Path) -> Read:
    """Read a deck file of this text."""

    def read_text(text: str) -> Deck:
        path = tmp_path / "deck.csv"
        path.write_text(text, encoding="utf-8")
        return read_deck(path)

    return read_text


def test_what_is_said_and_what_is_left_empty(read: Read) -> None:
    deck = read(HEADER + "x1,First paint,#d8d2c4,5|1| 2.5 |1,11.5,7\nx2,Second paint,#d8d2c4,,,\n")
    assert deck.tins == ((1.0, 2.5, 5.0), ())
    np.testing.assert_array_equal(deck.coverage, [11.5, np.nan])
    np.testing.assert_array_equal(deck.sheen, [7, np.nan])
    second = deck.only(np.array([False, True]))
    assert second.tins == ((),)
    np.testing.assert_array_equal(second.coverage, [np.nan])
    np.testing.assert_array_equal(second.sheen, [np.nan])


def test_a_deck_without_them_and_with_a_size_of_its_own_stays_valid(read: Read) -> None:
    deck = read("code,name,hex,size\nx1,First paint,#d8d2c4,large\n")
    assert (deck.tins, deck.coverage, deck.sheen) == (None, None, None)
    assert deck.only(np.array([True])).tins is None


@pytest.mark.parametrize(
    ("cells", "message"),
    [
        ("1|x,11,7", "row 2, column sizes: 'x' is no tin of 0.01 to 1000 litres. Give litres parted by |"),
        ("1|,11,7", "row 2, column sizes: '' is no tin of 0.01 to 1000 litres"),
        ("1;2.5,11,7", "row 2, column sizes: '1;2.5' is no tin of"),
        ("-1|5,11,7", "row 2, column sizes: '-1' is outside 0.01 to 1000 litres"),
        ("0,11,7", "row 2, column sizes: '0' is outside 0.01 to 1000 litres"),
        ("inf,11,7", "row 2, column sizes: 'inf' is outside"),
        ("|".join(map(str, range(1, 30))) + ",11,7", "row 2, column sizes: has 29 tins, more than 20"),
        ("1,0,7", "row 2, column coverage: 0 is outside 0.5 to 40"),
        ("1,good,7", "row 2, column coverage: 'good' is not a number. Give a number from 0.5 to 40."),
        ("1,11,-1", "row 2, column sheen: -1 is outside 0 to 200"),
        ("1,11,satin", "row 2, column sheen: 'satin' is not a number"),
    ],
)
def test_a_row_that_is_wrong_is_named(read: Read, cells: str, message: str) -> None:
    with pytest.raises(DeckError) as caught:
        read(HEADER + f"x1,First paint,#d8d2c4,{cells}\n")
    (problem,) = caught.value.problems
    assert message in str(problem)


def test_a_slip_in_a_column_is_named(read: Read) -> None:
    with pytest.raises(DeckError, match="column 'coverge' is not known"):
        read("code,name,hex,coverge\nx1,First paint,#d8d2c4,11\n")


def test_rows_read_in_several_blocks(read: Read, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(csv_deck, "_ROWS_AT_ONCE", 2)
    deck = read(HEADER + "".join(f"x{i},Paint {i},#d8d2c4,{i}|9,{i},{i}\n" for i in range(1, 6)))
    assert deck.tins == tuple((float(i), 9.0) for i in range(1, 6))
    np.testing.assert_array_equal(deck.coverage, [1, 2, 3, 4, 5])
    np.testing.assert_array_equal(deck.sheen, [1, 2, 3, 4, 5])


def test_the_demo_deck_says_how_every_paint_is_sold() -> None:
    deck = demo_deck()
    assert deck.tins is not None
    assert deck.coverage is not None
    assert deck.sheen is not None
    assert all(deck.tins)
    assert np.isfinite(deck.coverage).all()
    whites = np.array(deck.collections) == "Invented whites"
    assert np.isnan(deck.sheen[whites]).all()
    assert np.isfinite(deck.sheen[~whites]).all()
