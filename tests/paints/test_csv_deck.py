"""The deck file of the contract: what it allows is read, every bad row is named, all in one go."""

from __future__ import annotations

import contextlib
import gc
import hashlib
import tracemalloc
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from coloraide import Color
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from matcher.errors import DeckError
from matcher.paints.reading import read_deck

Write = Callable[[str | bytes], Path]


@pytest.fixture
def write(tmp_path: Path) -> Write:
    """Write a deck file."""

    def write_deck(content: str | bytes) -> Path:
        path = tmp_path / "deck.csv"
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return path

    return write_deck


def _mistakes(path: Path) -> list[str]:
    with pytest.raises(DeckError) as caught:
        read_deck(path)
    return [str(problem) for problem in caught.value.problems]


def test_lab_columns(write: Write) -> None:
    path = write(
        "code,name,L,a,b,lrv,collection,exterior\nx1,First,50,1.5,-2,19,warm,TRUE\nx2,Second,80.25,0,4,,,false\n"
    )
    deck = read_deck(path)
    assert (deck.name, len(deck)) == ("deck", 2)
    assert deck.sha256 == hashlib.sha256(path.read_bytes()).hexdigest()
    assert deck.codes == ("x1", "x2")
    assert deck.names == ("First", "Second")
    assert deck.collections == ("warm", "")
    np.testing.assert_array_equal(deck.lab, [[50, 1.5, -2], [80.25, 0, 4]])
    # As published where the file says; else 100 Y: CIE 015:2018, eq. 8.3 inverted, L* = 80.25.
    np.testing.assert_allclose(deck.lrv, [19, 100 * ((80.25 + 16) / 116) ** 3], atol=1e-9)
    np.testing.assert_array_equal(deck.exterior, [True, False])
    assert deck.reflectance is None


def test_hex_against_coloraide(write: Write) -> None:
    rng = np.random.default_rng(8)
    codes = [f"#{value:06x}" for value in rng.integers(0, 1 << 24, 200)]
    deck = read_deck(write("code,name,hex\n" + "".join(f"x{i},Paint {i},{code}\n" for i, code in enumerate(codes))))
    expected = [Color(code).convert("lab-d65").coords() for code in codes]
    # coloraide's white is x 0.3127 y 0.3290, the project's XYZ 0.95047 1 1.08883: up to 0.03 in b*.
    np.testing.assert_allclose(deck.lab, expected, atol=0.04)


def test_hex_without_hash_and_in_capitals(write: Write) -> None:
    deck = read_deck(write("code,name,hex\nx1,First paint,D8D2C4\nx2,Second paint,#d8d2c4\n"))
    np.testing.assert_array_equal(deck.lab[0], deck.lab[1])


def test_lab_is_taken_where_both_are_given(write: Write) -> None:
    deck = read_deck(write("code,name,hex,L,a,b\nx1,First paint,#777777,50.2,0.1,0.2\n"))
    np.testing.assert_array_equal(deck.lab, [[50.2, 0.1, 0.2]])


def test_spectra(write: Write) -> None:
    bands = [f"spectral:{nm}" for nm in range(380, 731, 10)]
    values = np.linspace(0.1, 0.9, 36).round(3)
    rows = [
        ["code,name,L,a,b", *bands],
        ["x1,First paint,70,3,20", *map(str, values)],
        ["x2,Second paint,70,3,20", *[""] * 36],
    ]
    text = "\n".join(",".join(row) for row in rows)
    deck = read_deck(write(text))
    assert deck.reflectance is not None
    np.testing.assert_array_equal(deck.reflectance[0], values)
    assert np.isnan(deck.reflectance[1]).all()
    np.testing.assert_array_equal(deck.measured(0), values)
    assert deck.measured(1) is None


@pytest.mark.parametrize("newline", ["\n", "\r\n"])
def test_byte_order_mark_quotes_blank_lines_own_columns_and_header_case(write: Write, newline: str) -> None:
    lines = ["Code,Name,HEX,shelf", 'x1,"Paint, the first",#d8d2c4,3', "", "x2, Second paint ,#d8d2c4,4", ""]
    deck = read_deck(write(b"\xef\xbb\xbf" + newline.join(lines).encode()))
    assert deck.names == ("Paint, the first", "Second paint")


LAB = "code,name,L,a,b\n"
BAD = [
    (LAB + "x1,First paint,x,0,0\n", "row 2, column L: 'x' is not a number. Give a number from 0 to 100."),
    (
        LAB + 'x1,First paint,"52,3",0,0\n',
        "row 2, column L: '52,3' is not a number. Give a number with a point for decimals",
    ),
    (LAB + "x1,First paint,,0,0\n", "row 2, column L: is empty"),
    (LAB + "x1,First paint,120,0,0\n", "row 2, column L: 120 is outside 0 to 100"),
    (LAB + "x1,First paint,-1,0,0\n", "row 2, column L: -1 is outside 0 to 100"),
    (LAB + "x1,First paint,50,nan,0\n", "row 2, column a: 'nan' is not a number"),
    (LAB + "x1,First paint,50,inf,0\n", "row 2, column a: inf is outside -150 to 150"),
    (LAB + "x1,First paint,50,0,1e9\n", "row 2, column b: 1e9 is outside -150 to 150"),
    (LAB + "x1,First paint,50,0\n", "row 2: has 4 fields where the header has 5"),
    (
        LAB + "x1,First, paint,50,0,0\n",
        "row 2: has 6 fields where the header has 5. Put a field that contains a comma in",
    ),
    (LAB + "x1,First paint,50,0,0\nx1,Second paint,60,0,0\n", "row 3, column code: 'x1' stands already in row 2"),
    (LAB + ",First paint,50,0,0\n", "row 2, column code: is empty"),
    (LAB + "x1,,50,0,0\n", "row 2, column name: is empty"),
    (LAB, "deck.csv: holds no paint"),
    ("code,name,hex\nx1,First paint,#d8d2\n", "row 2, column hex: '#d8d2' is not a hex colour. Write six hex digits"),
    ("code,name,hex\nx1,First paint,d8 2c4\n", "row 2, column hex: 'd8 2c4' is not a hex colour"),
    ("code,name,hex\nx1,First paint,\n", "row 2, column hex: is empty"),
    ("code,name,hex,lrv\nx1,First paint,#d8d2c4,104\n", "row 2, column lrv: 104 is outside 0 to 100"),
    ("code,name,hex,lrv\nx1,First paint,#d8d2c4,nan\n", "row 2, column lrv: 'nan' is not a number"),
    (
        "code,name,L,a,b,lrv\nx1,First paint,50,0,0,60\n",
        "row 2, column lrv: 60 disagrees with the colour, whose LRV is 18.4",
    ),
    ("code,name,L,a,b,lrv\nx1,First paint,50,0,0,23.1\n", "row 2, column lrv: 23.1 disagrees with the colour"),
    (
        "code,name,hex,exterior\nx1,First paint,#d8d2c4,maybe\n",
        "row 2, column exterior: 'maybe' is neither true nor false",
    ),
    ("code,name,hex,lvr\nx1,First paint,#d8d2c4,50\n", "row 1: column 'lvr' is not known. Did you mean lrv?"),
    ("code,name,hex,hex\nx1,First paint,#d8d2c4,#d8d2c4\n", "row 1: column hex is there 2 times"),
    ("code,hex\nx1,#d8d2c4\n", "row 1: column name is missing"),
    ("code,name\nx1,First paint\n", "row 1: column hex is missing. The header is code,name,hex or code,name,L,a,b."),
    ("code,name,L,a\nx1,First paint,50,0\n", "row 1: column b is missing"),
    (
        "code,name,hex,spectral:380\nx1,First paint,#d8d2c4,0.5\n",
        "row 1: 35 spectral columns are missing, the first is",
    ),
    ("code;name;hex\nx1;First paint;#d8d2c4\n", "row 1: the columns are separated by semicolons. Save it as CSV"),
    ("code\tname\thex\nx1\tFirst paint\t#d8d2c4\n", "row 1: the columns are separated by tabs"),
    ('code,name,hex\nx1,"First paint,#d8d2c4\n', "deck.csv: is not readable as CSV"),
    ("x1,First paint,#d8d2c4\nx2,Second paint,#d8d2c4\n", "row 1: column code, name, hex is missing"),
    ("", "is empty"),
    (" \n \n", "is empty"),
    ("\n\ncode,name,hex\n", "row 1: there is no header row"),
    (
        "code,name,hex\nx1,Paint \u00e9,#d8d2c4\n".encode("latin-1"),
        "line 2 is not UTF-8 (byte E9; in Latin-1 that is 'é')",
    ),
    ("code,name,hex\n".encode("utf-16"), "is in UTF-16"),
    (b"PK\x03\x04rest", "is a spreadsheet workbook"),
]


@pytest.mark.parametrize(("content", "message"), BAD)
def test_bad_content_is_named(write: Write, content: str | bytes, message: str) -> None:
    mistakes = _mistakes(write(content))
    assert len(mistakes) == 1, mistakes
    assert message in mistakes[0]


def test_half_a_spectrum_is_named(write: Write) -> None:
    bands = ",".join(f"spectral:{nm}" for nm in range(380, 731, 10))
    row = "x1,First paint,#d8d2c4," + ",".join(["0.5"] * 30 + [""] * 6)
    (mistake,) = _mistakes(write(f"code,name,hex,{bands}\n{row}\n"))
    assert "row 2, columns spectral:380 to spectral:730: 6 of 36 are empty" in mistake


@pytest.mark.parametrize(
    ("value", "message"),
    [
        ("1.02", "1.02 is outside 0 to 1. Give a number from 0 to 1."),
        ("-0.01", "-0.01 is outside 0 to 1"),
        ("52", "52 is outside 0 to 1"),
        ("nan", "'nan' is not a number"),
    ],
)
def test_a_reflectance_that_is_none_is_named(write: Write, value: str, message: str) -> None:
    bands = ",".join(f"spectral:{nm}" for nm in range(380, 731, 10))
    row = "x1,First paint,#d8d2c4," + ",".join(["0.5"] * 7 + [value] + ["0.5"] * 28)
    (mistake,) = _mistakes(write(f"code,name,hex,{bands}\n{row}\n"))
    assert f"row 2, column spectral:450: {message}" in mistake


def test_lrv_within_the_stated_tolerance_is_kept_as_published(write: Write) -> None:
    # L* = 50 is LRV 18.4; the 10 degree observer and rounding may take a published one 4.5 away.
    deck = read_deck(write("code,name,L,a,b,lrv\nx1,First paint,50,0,0,22.8\nx2,Second paint,50,0,0,14.1\n"))
    np.testing.assert_array_equal(deck.lrv, [22.8, 14.1])


def test_all_bad_rows_come_in_one_go(write: Write) -> None:
    rows = [
        "x1,First paint,500,0,0",
        "x2,Second paint,50,0,0",
        "x2,Third paint,50,nan,0",
        "x4,Fourth paint,50,0",
        "x5,,50,0,0",
    ]
    mistakes = _mistakes(write(LAB + "\n".join(rows)))
    assert len(mistakes) == 5
    for row in ("row 2, column L", "row 4, column a", "row 4, column code", "row 5: has 4", "row 6, column name"):
        assert any(row in mistake for mistake in mistakes), row


def test_a_long_list_ends_with_a_count(write: Write) -> None:
    mistakes = _mistakes(write(LAB + "".join(f"x{i},Paint {i},-5,0,0\n" for i in range(300))))
    assert len(mistakes) == 51
    assert "and 250 more like these" in mistakes[-1]


def test_missing_file_and_folder(tmp_path: Path) -> None:
    assert "there is no such file" in _mistakes(tmp_path / "deck.csv")[0]
    assert "is a folder" in _mistakes(tmp_path)[0]


def _read_or_refuse(path: Path) -> None:
    try:
        deck = read_deck(path)
    except DeckError:
        return
    assert len(deck) > 0
    assert len(set(deck.codes)) == len(deck)
    assert np.isfinite(deck.lab).all()
    assert ((deck.lrv >= 0) & (deck.lrv <= 100)).all()


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.binary(max_size=200))
def test_wild_bytes(write: Write, data: bytes) -> None:
    _read_or_refuse(write(data))


CELLS = st.sampled_from(
    [
        "",
        "1",
        "50",
        "-3.5",
        "nan",
        "-inf",
        "1e999",
        "x",
        "#d8d2c4",
        "#",
        "true",
        '"',
        '""',
        "a,b",
        "\u2028",
        "\x00",
        "1_0",
    ]
)


@settings(max_examples=200, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    header=st.sampled_from(["code,name,hex", "code,name,L,a,b", "code,name,L,a,b,lrv,exterior,collection"]),
    rows=st.lists(st.lists(CELLS, min_size=1, max_size=9), max_size=4),
)
def test_wild_cells(write: Write, header: str, rows: list[list[str]]) -> None:
    _read_or_refuse(write(header + "\n" + "\n".join(",".join(row) for row in rows)))


PAINTS = st.lists(
    st.tuples(
        st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"]), min_size=1, max_size=8),
        st.floats(0, 100),
        st.floats(-100, 100),
        st.floats(-100, 100),
    ),
    min_size=1,
    max_size=8,
    unique_by=lambda paint: paint[0],
)


@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(paints=PAINTS)
def test_what_is_written_is_read_back(write: Write, paints: list[tuple[str, float, float, float]]) -> None:
    import csv
    import io

    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(("code", "name", "L", "a", "b"))
    writer.writerows((code, code, *map(repr, lab)) for code, *lab in paints)
    deck = read_deck(write(text.getvalue()))
    assert deck.codes == tuple(code for code, *_ in paints)
    np.testing.assert_array_equal(deck.lab, [lab for _, *lab in paints])


def test_a_deck_in_several_blocks_is_one(write: Write, monkeypatch: pytest.MonkeyPatch) -> None:
    spectral = ",".join(f"spectral:{nm}" for nm in range(380, 731, 10))
    rows = [
        f"c{number},n{number},{number},0,1,,{'' if number % 3 else ','.join(['0.5'] * 36)}{',' * 35 * (number % 3 > 0)}"
        for number in range(25)
    ]
    path = write("\n".join([f"code,name,L,a,b,lrv,{spectral}", "", *rows, "", "x,y"]))
    whole = _mistakes(path)
    monkeypatch.setattr("matcher.paints.csv_deck._ROWS_AT_ONCE", 10)
    assert whole == _mistakes(path)
    assert [mistake.split(". ")[0] for mistake in whole] == ["deck.csv, row 29: has 2 fields where the header has 42"]
    parts = read_deck(write("\n".join([f"code,name,L,a,b,lrv,{spectral}", *rows])))
    monkeypatch.undo()
    at_once = read_deck(path)
    assert parts.codes == at_once.codes == tuple(f"c{number}" for number in range(25))
    for of in ("lab", "lrv", "exterior", "reflectance"):
        np.testing.assert_array_equal(getattr(parts, of), getattr(at_once, of))


def test_over_a_limit_there_is_one_message(write: Write, monkeypatch: pytest.MonkeyPatch) -> None:
    (mistake,) = _mistakes(write("code,name,hex," + ",".join(f"x{number}" for number in range(20_000)) + "\n"))
    assert "there are 20,003 columns, more than 1,000. Keep those of a deck." in mistake
    (mistake,) = _mistakes(write("code,name,hex\n" + "a," * 600_000 + "\n"))
    assert "a row of more than 1,000,000 characters" in mistake
    monkeypatch.setattr("matcher.paints.csv_deck.MOST_COLOURS", 2)
    (mistake,) = _mistakes(write("code,name,hex\n" + "".join(f"c{number},n,#aabbcc\n" for number in range(3))))
    assert "holds more than 2 paints. Split the file." in mistake


def test_many_bad_rows_take_no_memory(write: Write) -> None:
    """Fifty of them are named: the others were kept as well, 17 MB of them."""
    path = write("code,name,hex\n" + "a,b\n" * 40_000)
    tracemalloc.start()
    mistakes = _mistakes(path)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert len(mistakes) == 51
    assert "and 39950 more like these" in mistakes[-1]
    assert peak < 11_000_000


def test_a_cell_of_many_letters_is_shown_shortened(write: Write) -> None:
    (mistake,) = _mistakes(write("code,name,L,a,b\nc,n," + "x" * 100_000 + ",0,0\n"))
    assert len(mistake) < 300


def test_the_collector_is_left_as_it_was(write: Write) -> None:
    """Reading pauses it for the whole process: a deck that cannot be read must not leave it off."""
    for text in ("code,name,hex\nd1,One,#ffffff\n", 'code,name,hex\nd1,"One,#ffffff\n'):
        with contextlib.suppress(DeckError):
            read_deck(write(text))
        assert gc.isenabled()
