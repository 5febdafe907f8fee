"""Decks read a column at a time, large CSV and Parquet: the same deck and the same complaints as row by row."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pyarrow as pa
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pyarrow import parquet

from matcher.errors import DeckError
from matcher.paints import parquet_deck, plain_csv
from matcher.paints.deck import Deck
from matcher.paints.reading import demo_deck, read_deck

HEADER = "code,name,L,a,b,lrv,collection,exterior,sizes,own"
GOOD = [
    "A1,Alder,60,5.5,-10,,Woods,true,1|2.5,x",
    "B2, Birch ,61.25,5,10,29.3,Woods,,,",
    "C3,Clé,4e1,-0,2e1,,,false,5,",
]
ROWS = st.sampled_from(
    [
        *GOOD,
        "D4,Dusk,sixty,5,10,,,,,",
        "E5,,60,5,10,,,,,",
        "F6,Fir,60,5,,,,,,",
        "G7,Gold,160,5,10,,,maybe,,",
        "A1,Twice,60,5,10,,,,,",
        "H8,Hay,60,nan,inf,,,,0|x,",
        "I9,Ivy,60,5,1_0,90,,,,",
        "J0,Jet,60,5",
        "",
        'K1,"Kelp, dark",60,5,10,,,,,',
        "L2,Lime\t,\u00a060,5,10,,\u2003Woods,TRUE,,",
        "M3,Moss\x0b,60,5,10,,,,,",
    ]
)


def said(path: Path) -> Any:
    """The deck's content, or all that is wrong with it."""
    try:
        deck = read_deck(path)
    except DeckError as error:
        return [str(problem) for problem in error.problems]
    return content(deck)


def content(deck: Deck) -> Any:
    numbers = [column.tobytes() for column in (deck.lab, deck.lrv, deck.exterior)]
    return deck.codes, deck.names, deck.collections, numbers, deck.tins


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(rows=st.lists(ROWS, min_size=1, max_size=6), newline=st.sampled_from(["\n", "\r\n", "\r"]), mark=st.booleans())
def test_a_column_at_a_time_says_what_row_by_row_says(
    rows: list[str], newline: str, mark: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "deck.csv"
    text = newline.join([HEADER, *rows, ""])
    path.write_bytes(text.encode("utf-8-sig" if mark else "utf-8"))
    monkeypatch.setattr(plain_csv, "LARGE_BYTES", 10**9)
    expected = said(path)
    monkeypatch.setattr(plain_csv, "LARGE_BYTES", 0)
    assert said(path) == expected


def test_a_plain_file_goes_the_quick_way(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "deck.csv"
    path.write_text("\n".join([HEADER, *GOOD]))
    monkeypatch.setattr(plain_csv, "LARGE_BYTES", 0)

    def row_by_row(*arguments: object) -> None:
        raise AssertionError("read row by row")

    monkeypatch.setattr("matcher.paints.csv_deck._blocks", row_by_row)
    deck = read_deck(path)
    assert (deck.codes, deck.names) == (("A1", "B2", "C3"), ("Alder", "Birch", "Clé"))
    assert deck.lab.tolist() == [[60.0, 5.5, -10.0], [61.25, 5.0, 10.0], [40.0, -0.0, 20.0]]
    assert deck.tins == ((1.0, 2.5), (), (5.0,))


def parquet_of(path: Path, **columns: Any) -> Path:
    """A Parquet file as pyarrow writes it."""
    parquet.write_table(pa.table(columns), path)
    return path


def test_parquet_holds_what_csv_holds(tmp_path: Path) -> None:
    """Numbers as numbers, with nulls, beside the demo deck's own CSV."""
    deck = demo_deck()
    path = parquet_of(
        tmp_path / "deck.parquet",
        Code=list(deck.codes),
        name=pa.array(deck.names).dictionary_encode(),
        L=deck.lab[:, 0],
        a=deck.lab[:, 1],
        b=[str(value) for value in deck.lab[:, 2]],
        lrv=[None, *deck.lrv[1:].tolist()],
        collection=list(deck.collections),
        exterior=deck.exterior,
        sizes=[list(tins) for tins in deck.tins or ()],
        mine=[{"anything": 1}] * len(deck),
    )
    read = read_deck(path)
    assert (read.codes, read.names, read.collections, read.tins) == (
        deck.codes,
        deck.names,
        deck.collections,
        deck.tins,
    )
    assert read.lab.tobytes() == deck.lab.tobytes()
    assert (read.exterior == deck.exterior).all()
    assert read.lrv[1:].tobytes() == deck.lrv[1:].tobytes()
    assert read.lrv[0] == pytest.approx(deck.lrv[0], abs=0.2)


def test_spectra_and_whole_numbers_in_parquet(tmp_path: Path) -> None:
    bands: dict[str, Any] = {f"spectral:{nm}": np.full(2, 0.5, np.float32) for nm in range(380, 731, 10)}
    bands["spectral:400"] = pa.array([None, 0.5])
    path = parquet_of(tmp_path / "deck.parquet", code=[7, 8], name=["A", "B"], L=[50, 60], a=[0, 0], b=[0, 0], **bands)
    with pytest.raises(DeckError, match=r"row 1, columns spectral:380 to spectral:730: 1 of 36 are empty"):
        read_deck(path)
    bands["spectral:400"] = pa.array([0.5, 0.25])
    deck = read_deck(parquet_of(path, code=[7, 8], name=["A", "B"], L=[50, 60], a=[0, 0], b=[0, 0], **bands))
    assert deck.codes == ("7", "8")
    assert deck.reflectance is not None
    assert deck.reflectance[1, 2] == 0.25


@pytest.mark.parametrize(
    ("spoil", "message"),
    [
        ({"L": [50.0, 160.0]}, "row 2, column L: 160 is outside 0 to 100"),
        ({"L": [50.0, None]}, "row 2, column L: is empty"),
        ({"L": ["50", "sixty"]}, "row 2, column L: 'sixty' is not a number"),
        ({"code": ["A", "A"]}, "row 2, column code: 'A' stands already in row 1"),
        ({"name": ["A", None]}, "row 2, column name: is empty"),
        ({"exterior": ["true", "perhaps"]}, "row 2, column exterior: 'perhaps' is neither true nor false"),
        ({"L": [b"50", b"60"]}, "column L: is of the kind binary"),
        ({"b": None}, "the columns: column b is missing"),
        ({"Lrvv": [1, 2]}, "the columns: column 'Lrvv' is not known. Did you mean lrv?"),
    ],
)
def test_what_is_wrong_in_parquet_is_named(tmp_path: Path, spoil: dict[str, Any], message: str) -> None:
    columns = {"code": ["A", "B"], "name": ["A", "B"], "L": [50.0, 60.0], "a": [0.0, 0.0], "b": [0.0, 0.0], **spoil}
    path = parquet_of(tmp_path / "deck.parquet", **{name: each for name, each in columns.items() if each is not None})
    with pytest.raises(DeckError) as refused:
        read_deck(path)
    assert any(message in str(problem) for problem in refused.value.problems)


@pytest.mark.parametrize(
    "spoil", [lambda d: d[:40], lambda d: d[:-9] + d[-8:], lambda d: b"PAR1" + d[9:], lambda d: b"PAR1"]
)
def test_broken_parquet_is_refused_in_words(tmp_path: Path, spoil: Callable[[bytes], bytes]) -> None:
    path = parquet_of(tmp_path / "deck.parquet", code=["A"], name=["A"], L=[5.0], a=[0.0], b=[0.0])
    path.write_bytes(spoil(path.read_bytes()))
    with pytest.raises(DeckError, match="is not readable as Parquet"):
        read_deck(path)


def test_parquet_that_holds_too_much_is_refused_before_it_is_unpacked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    long = "x" * 20_000
    path = parquet_of(
        tmp_path / "deck.parquet", code=["A", "B"], name=[long, long], L=[5.0] * 2, a=[0.0] * 2, b=[0.0] * 2
    )
    with pytest.raises(DeckError, match="column name: holds a text of 20,000 letters"):
        read_deck(path)
    monkeypatch.setattr(parquet_deck, "MOST_COLOURS", 1)
    with pytest.raises(DeckError, match="holds 2 rows of 5 columns"):
        read_deck(path)
