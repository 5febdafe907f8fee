"""The deck file of the contract: CSV with a header row, ``code,name`` and ``hex`` or ``L,a,b``."""

from __future__ import annotations

import csv
import difflib
import gc
import io
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import Any

import numpy as np

from matcher.colorimetry.spaces import linear_srgb_to_xyz, srgb_decode, xyz_to_lab
from matcher.exchange.parsed import RowNames
from matcher.exchange.problems import Problems, blanks, number_or_nan, numbers, shortened
from matcher.exchange.samples import BANDS_NM, MOST_CHROMATIC, MOST_COLOURS, MOST_COLUMNS
from matcher.paints.arrow_columns import number_column, repeated_column, text_column
from matcher.paints.deck import FloatArray
from matcher.paints.plain_csv import plain_columns
from matcher.paints.rows import Columns, joined

_SPECTRAL = tuple(f"spectral:{nm}" for nm in BANDS_NM)
_PLAIN = ("code", "name", "hex", "L", "a", "b", "lrv", "collection", "exterior", "sizes", "coverage", "sheen")
DECK_COLUMNS = (*_PLAIN, *_SPECTRAL)
_NUMBERS = frozenset({"L", "a", "b", "lrv", "coverage", "sheen", *_SPECTRAL})
_REPEATED = frozenset({"collection", "exterior", "sizes"})
_BY_LOWER = {name.lower(): name for name in DECK_COLUMNS}
_HEX_DIGITS = re.compile(r"[0-9a-fA-F]*")
_FLAGS = {"true": True, "false": False, "": False}

# Assumption: a header this close to a known one is a slip; anything farther is a column of the user's own, left alone.
_SLIP = 0.85
_LONGEST_NAME = 30  # letters of a column that could be a slip of ours
# Columns of the user's own that come close to one of ours by chance.
_OWN = ("size",)
# Assumptions: from a filler's texture to a thin varnish, and from a sample pot to a drum.
_COVERAGE_RANGE, _TIN_RANGE = (0.5, 40.0), (0.01, 1000.0)
# ISO 2813: polished black glass is 100; a metallic paint may pass it.
_SHEEN_RANGE = (0.0, 200.0)
_MOST_TINS = 20  # sizes of one paint
# Rows turned into numbers together: a deck with spectra takes a fifth of the memory that all its texts would.
_ROWS_AT_ONCE = 20_000
# Assumption: a thousand columns of a hundred letters, ten times over.
_MOST_IN_ROW = 1_000_000

Table = dict[str, Sequence[str]]


def read_csv(text: str, problems: Problems) -> Columns | None:
    """Return the columns of a CSV text, or None where the header alone makes that impossible; adds to ``problems``."""
    lines = _Lines(text)
    reader = csv.reader(lines, strict=True)
    parts: list[Columns] = []
    paints = 0
    try:
        first = next(reader, [])
        if not any(first):
            problems.add("row 1", "there is no header row", "Start the file with: code,name,hex or code,name,L,a,b")
            return None
        header = checked_header(first, problems)
        if header is None:
            return None
        whole = plain_columns(text.encode("utf-8", "surrogatepass"), header, DECK_COLUMNS)
        if whole is not None:
            return _whole_columns(whole, problems)
        with _not_collecting():
            for block in _blocks(reader, lines):
                paints += len(block)
                if paints > MOST_COLOURS:
                    problems.add("", f"holds more than {MOST_COLOURS:,} paints", "Split the file.")
                    return None
                rows, table = _table(header, block, problems)
                parts.append(deck_columns(table, rows, problems))
    except csv.Error as error:
        problems.add("", f"is not readable as CSV ({error})", "Save it again as CSV with commas and double quotes.")
        return None
    return joined(parts)


def _whole_columns(found: Mapping[str, Any], problems: Problems) -> Columns | None:
    """Return all rows of a plain file at once."""
    count = len(next(iter(found.values())))
    if count > MOST_COLOURS:
        problems.add("", f"holds more than {MOST_COLOURS:,} paints", "Split the file.")
        return None
    with _not_collecting():
        return deck_columns(arrow_table(found), RowNames(2, count), problems)


def arrow_table(found: Mapping[str, Any]) -> Table:
    """Return the columns of a deck that Arrow holds, by their names, as texts and numbers."""
    return {name: _read_as(name)(column) for name, column in found.items()}


def _read_as(name: str) -> Callable[[Any], Sequence[str]]:
    if name in _NUMBERS:
        return number_column
    return repeated_column if name in _REPEATED else text_column


@contextmanager
def _not_collecting() -> Iterator[None]:
    """Have no cycles sought meanwhile: millions of new texts hold none, and looking takes a third of the time."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


class _Lines:
    """The lines of a text, as many of them as one row may take."""

    def __init__(self, text: str) -> None:
        self._lines, self._taken = io.StringIO(text, newline=""), 0

    def __iter__(self) -> Iterator[str]:
        return self

    def __next__(self) -> str:
        line = next(self._lines)
        self._taken += len(line)
        if self._taken > _MOST_IN_ROW:
            raise csv.Error(f"a row of more than {_MOST_IN_ROW:,} characters")
        return line

    def row_is_over(self) -> None:
        """Begin to count anew."""
        self._taken = 0


def _blocks(reader: Iterator[list[str]], lines: _Lines) -> Iterator[list[tuple[int, list[str]]]]:
    """Yield the rows below the header with their numbers, empty ones left out: one block of them at least."""
    block: list[tuple[int, list[str]]] = []
    lines.row_is_over()
    for number, record in enumerate(reader, start=2):
        lines.row_is_over()
        if record:
            block.append((number, record))
        if len(block) == _ROWS_AT_ONCE:
            yield block
            block = []
    yield block


def checked_header(cells: list[str], problems: Problems, *, where: str = "row 1") -> list[str] | None:
    """Return the column names as the contract spells them, or None where no row could be read under them."""
    if len(cells) == 1:
        for mark, word in (("\t", "tabs"), (";", "semicolons")):
            if mark in cells[0]:
                problems.add(where, f"the columns are separated by {word}", "Save it as CSV separated by commas.")
                return None
    if len(cells) > MOST_COLUMNS:
        problems.add(where, f"there are {len(cells):,} columns, more than {MOST_COLUMNS:,}", "Keep those of a deck.")
        return None
    header = [_BY_LOWER.get(cell.strip().lower(), cell.strip()) for cell in cells]
    before = problems.count
    for name in sorted({name for name in header if name and header.count(name) > 1}):
        problems.add(where, f"column {shortened(name)} is there {header.count(name)} times", "Keep one.")
    for name in header:
        meant = _meant(name)
        if meant and name not in DECK_COLUMNS:
            problems.add(where, f"column {name!r} is not known", f"Did you mean {meant}?")
    missing = [name for name in ("code", "name") if name not in header]
    lab_missing = [name for name in ("L", "a", "b") if name not in header]
    if "hex" not in header and lab_missing:
        missing += ["hex"] if len(lab_missing) == 3 else lab_missing
    if missing:
        problems.add(
            where, f"column {', '.join(missing)} is missing", "The header is code,name,hex or code,name,L,a,b."
        )
    bands_missing = [name for name in _SPECTRAL if name not in header]
    if bands_missing and len(bands_missing) < len(_SPECTRAL):
        problems.add(
            where, f"{len(bands_missing)} spectral columns are missing, the first is {bands_missing[0]}",
            "Give all of spectral:380 to spectral:730 in steps of 10, or none.",
        )  # fmt: skip
    return header if problems.count == before else None


def _meant(name: str) -> str | None:
    """Return the known column that ``name`` is a slip of: a letter too many, too few or wrong, or two swapped."""
    if len(name) > _LONGEST_NAME or name.lower() in _OWN:
        return None
    typed = name.lower()
    swapped = [known for known in _BY_LOWER if sorted(known) == sorted(typed)]
    close = swapped or difflib.get_close_matches(typed, _BY_LOWER, n=1, cutoff=_SLIP)
    return _BY_LOWER[close[0]] if close else None


def _table(header: list[str], records: list[tuple[int, list[str]]], problems: Problems) -> tuple[list[str], Table]:
    """Return row labels and the known columns, stripped; rows of the wrong length are problems and left out."""
    rows, kept = [], []
    for number, record in records:
        if len(record) == len(header):
            rows.append(f"row {number}")
            kept.append(record)
        else:
            problems.add(
                f"row {number}",
                f"has {len(record)} fields where the header has {len(header)}",
                "Put a field that contains a comma in double quotes; leave no field out.",
            )
    columns = list(zip(*kept, strict=True)) or [()] * len(header)
    table: Table = {
        name: [cell.strip() for cell in cells]
        for name, cells in zip(header, columns, strict=True)
        if name in DECK_COLUMNS
    }
    return rows, table


def deck_columns(table: Table, rows: Sequence[str], problems: Problems) -> Columns:
    """Return the columns of a deck from those of its file, by the contract's names; adds to ``problems``."""
    absent = [""] * len(rows)
    return Columns(
        rows=rows,
        codes=table["code"],
        names=table["name"],
        collections=table.get("collection", absent),
        lab=_lab(table, rows, problems),
        lrv=numbers("lrv", table.get("lrv", absent), rows=rows, limits=(0, 100), problems=problems, optional=True),
        exterior=_exterior(table.get("exterior", absent), rows, problems),
        reflectance=_reflectance(table, rows, problems) if _SPECTRAL[0] in table else None,
        tins=_tins(table["sizes"], rows, problems) if "sizes" in table else None,
        coverage=_optional(table, "coverage", _COVERAGE_RANGE, rows, problems),
        sheen=_optional(table, "sheen", _SHEEN_RANGE, rows, problems),
    )


def _optional(
    table: Table, column: str, limits: tuple[float, float], rows: Sequence[str], problems: Problems
) -> FloatArray | None:
    if column not in table:
        return None
    return numbers(column, table[column], rows=rows, limits=limits, problems=problems, optional=True)


def _tins(texts: Sequence[str], rows: Sequence[str], problems: Problems) -> list[tuple[float, ...]]:
    """Return the litres of each paint's tins, ascending; () where a row gives none or is a problem."""
    known: dict[str, tuple[float, ...]] = {"": ()}  # decks have a handful of different sets
    tins: list[tuple[float, ...]] = []
    for row, text in zip(rows, texts, strict=True):
        if text not in known:
            found, wrong = _tins_of(text)
            if wrong:
                problems.add(f"{row}, column sizes", *wrong)
                tins.append(())
                continue
            known[text] = found
        tins.append(known[text])
    return tins


def _tins_of(text: str) -> tuple[tuple[float, ...], tuple[str, str] | None]:
    """Return the litres in one field, or what is wrong with it and the remedy."""
    remedy = "Give litres parted by |, such as 1|2.5|5, or leave it empty."
    parts = [part.strip() for part in text.split("|")]
    if len(parts) > _MOST_TINS:
        return (), (f"has {len(parts)} tins, more than {_MOST_TINS}", remedy)
    litres = []
    low, high = _TIN_RANGE
    for part in parts:
        value = number_or_nan(part)
        if not low <= value <= high:
            what = "is outside" if value == value else "is no tin of"
            return (), (f"{shortened(part)!r} {what} {low:g} to {high:g} litres", remedy)
        litres.append(value)
    return tuple(sorted(set(litres))), None


def _lab(table: Table, rows: Sequence[str], problems: Problems) -> FloatArray:
    """Return (N, 3); where a file has both, L, a, b are taken: a hex code is a rounded copy of them."""
    if not {"L", "a", "b"} <= table.keys():
        return _lab_from_hex(table["hex"], rows, problems)
    chromatic = (-MOST_CHROMATIC, MOST_CHROMATIC)
    limits = {"L": (0.0, 100.0), "a": chromatic, "b": chromatic}
    return np.column_stack(
        [numbers(name, table[name], rows=rows, limits=limits[name], problems=problems) for name in limits]
    )


def _lab_from_hex(texts: Sequence[str], rows: Sequence[str], problems: Problems) -> FloatArray:
    digits = [text.removeprefix("#") for text in texts]
    good = [len(text) == 6 for text in digits]
    if not all(good) or not _HEX_DIGITS.fullmatch("".join(digits)):
        good = [len(text) == 6 and bool(_HEX_DIGITS.fullmatch(text)) for text in digits]
        for row, text, fine in zip(rows, texts, good, strict=True):
            if not fine:
                what = f"{shortened(text)!r} is not a hex colour" if text else "is empty"
                problems.add(f"{row}, column hex", what, "Write six hex digits, such as #d8d2c4.")
        digits = [text if fine else "000000" for text, fine in zip(digits, good, strict=True)]
    rgb = np.frombuffer(bytes.fromhex("".join(digits)), dtype=np.uint8).reshape(-1, 3)
    linear = srgb_decode(np.arange(256) / 255)[rgb]
    lab = np.asarray(xyz_to_lab(linear_srgb_to_xyz(linear)), dtype=float)
    lab[~np.array(good, dtype=bool)] = np.nan
    return lab


def _exterior(
    texts: Sequence[str], rows: Sequence[str], problems: Problems
) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    known = {text: _FLAGS.get(text.lower()) for text in set(texts)}
    flags = [known[text] for text in texts]
    if None in flags:
        for row, text, flag in zip(rows, texts, flags, strict=True):
            if flag is None:
                problems.add(
                    f"{row}, column exterior", f"{shortened(text)!r} is neither true nor false", "Write true or false."
                )
    return np.array([bool(flag) for flag in flags], dtype=np.bool_)


def _reflectance(table: Table, rows: Sequence[str], problems: Problems) -> FloatArray:
    """Return (N, 36), a row of NaN where a paint has no spectrum; a row with some bands only is a problem."""
    bands = np.column_stack(
        [numbers(name, table[name], rows=rows, limits=(0, 1), problems=problems, optional=True) for name in _SPECTRAL]
    )
    given = np.column_stack([~blanks(table[name]) for name in _SPECTRAL]).reshape(bands.shape)
    for index in np.flatnonzero(given.any(axis=1) & ~given.all(axis=1)).tolist():
        problems.add(
            f"{rows[index]}, columns spectral:380 to spectral:730",
            f"{int((~given[index]).sum())} of 36 are empty", "Fill all or none.",
        )  # fmt: skip
    return bands
