"""Read a deck of paints: the format is told from the content, not from the name."""

from __future__ import annotations

import hashlib
from os import PathLike
from pathlib import Path

from matcher.errors import DeckError, Problem
from matcher.exchange.problems import Problems
from matcher.exchange.recognising import exchange_reader
from matcher.opening import read_bytes
from matcher.paints.csv_deck import read_csv
from matcher.paints.deck import Deck
from matcher.paints.exchanged import exchange_columns
from matcher.paints.parquet_deck import MAGIC, read_parquet
from matcher.paints.rows import Columns, to_deck

DEMO_DECK = Path(__file__).parent / "data" / "demo_deck.csv"
# Assumption: a million paints by colour take 60 MB, with names and collections at their longest; half a million with
# spectra take as much as this.
MOST_BYTES = 200_000_000


def read_deck(path: str | PathLike[str]) -> Deck:
    """Return the deck at ``path``: CSV (the contract's), Parquet with the same columns, CGATS.17 / ISO 28178 text or
    CxF3 / ISO 17972-1.

    Raises :class:`matcher.errors.DeckError` with every bad row named.
    """
    path = Path(path)
    return parse_deck(deck_bytes(path), path)


def parse_deck(data: bytes, path: Path) -> Deck:
    """Return the deck that the bytes of a file hold; ``path`` is what it is called.

    Raises :class:`matcher.errors.DeckError` as :func:`read_deck` does.
    """
    if not data.strip():
        raise _error(path, "is empty", "A deck needs a header row and at least one paint.")
    problems = Problems()
    columns = read_parquet(data, problems) if data.startswith(MAGIC) else _columns(_decode(path, data), problems)
    if columns is None:
        problems.raise_if_any(path.name, DeckError)
        raise AssertionError("a reader that gives no columns says why")
    # A file's name may hold bytes that are no text.
    name = path.stem.encode("utf-8", "replace").decode("utf-8")
    deck = to_deck(columns, name=name, sha256=hashlib.sha256(data).hexdigest(), problems=problems)
    problems.raise_if_any(path.name, DeckError)
    return deck


def _columns(text: str, problems: Problems) -> Columns | None:
    reader = exchange_reader(text)
    return read_csv(text, problems) if reader is None else exchange_columns(reader(text, problems), problems)


def demo_deck() -> Deck:
    """Return the invented deck that comes with the package (data/SOURCES.md says how its names were coined)."""
    return read_deck(DEMO_DECK)


def deck_bytes(path: Path) -> bytes:
    """Return what a deck's file holds, for :func:`parse_deck`; raises :class:`matcher.errors.DeckError`."""
    return read_bytes(path, DeckError, "a deck file", "Name the file in it.", most=MOST_BYTES)


def _decode(path: Path, data: bytes) -> str:
    if data.startswith(b"PK\x03\x04"):
        raise _error(path, "is a spreadsheet workbook, not CSV", "Export the sheet as CSV (UTF-8).")
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise _error(path, "is in UTF-16", "Save it as CSV UTF-8.")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        letter = data[error.start : error.start + 1].decode("latin-1")
        raise _error(
            path,
            f"line {line} is not UTF-8 (byte {data[error.start]:02X}; in Latin-1 that is {letter!r})",
            "Save the file as CSV UTF-8; spreadsheets offer it beside plain CSV.",
        ) from None


def _error(path: Path, what: str, remedy: str) -> DeckError:
    return DeckError(Problem(str(path), what, remedy))
