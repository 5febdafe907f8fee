"""A deck in a Parquet file: the same columns as in CSV, numbers as numbers or as text.

What the file says of itself is looked at before anything is unpacked: a small file may claim to hold a great deal.
"""

from __future__ import annotations

from matcher.exchange.parsed import RowNames
from matcher.exchange.problems import Problems
from matcher.exchange.samples import MOST_COLOURS, MOST_COLUMNS
from matcher.paints.csv_deck import DECK_COLUMNS, arrow_table, checked_header, deck_columns
from matcher.paints.rows import Columns

MAGIC = b"PAR1"
# Assumption: unpacked, a deck of a million paints with spectra takes 400 MB.
_MOST_UNPACKED = 1_000_000_000
# Assumption: no text of a deck is longer. One of a megabyte, named by every row, would be a terabyte of texts.
_MOST_LETTERS = 10_000
_WHERE = "the columns"


def read_parquet(data: bytes, problems: Problems) -> Columns | None:
    """Return the columns of a Parquet file, or None where it cannot be one of a deck; adds to ``problems``."""
    import pyarrow as pa
    import pyarrow.compute as pc
    from pyarrow import parquet

    try:
        file = parquet.ParquetFile(pa.BufferReader(data))
        about = file.metadata
        unpacked = sum(about.row_group(place).total_byte_size for place in range(about.num_row_groups))
        if about.num_rows > MOST_COLOURS or about.num_columns > MOST_COLUMNS or unpacked > _MOST_UNPACKED:
            what = f"holds {about.num_rows:,} rows of {about.num_columns:,} columns, {unpacked / 1e6:,.0f} MB unpacked"
            problems.add("", what, f"A deck has at most {MOST_COLOURS:,} paints; split the file.")
            return None
        names = file.schema_arrow.names
        header = checked_header(list(names), problems, where=_WHERE)
        if header is None:
            return None
        known = {name: meant for name, meant in zip(names, header, strict=True) if meant in DECK_COLUMNS}
        # As a dictionary a long text that many rows name is in memory once.
        texts = [name for name in known if pa.types.is_string(file.schema_arrow.field(name).type)]
        whole = parquet.read_table(pa.BufferReader(data), columns=list(known), read_dictionary=texts)
        columns = {}
        for name, meant in known.items():
            column = whole.column(name).combine_chunks()
            if not _is_plain(column.type):
                problems.add(f"column {meant}", f"is of the kind {column.type}", "Keep texts and numbers in it.")
                return None
            if name in texts:
                longest = pc.max(pc.utf8_length(column.dictionary)).as_py() or 0
                if longest > _MOST_LETTERS:
                    problems.add(f"column {meant}", f"holds a text of {longest:,} letters", "Shorten it.")
                    return None
                column = pc.cast(column, pa.string())
            columns[meant] = column
    except (pa.ArrowException, OSError, ValueError) as error:
        problems.add("", f"is not readable as Parquet ({str(error).splitlines()[0]})", "Export it again, or as CSV.")
        return None
    return deck_columns(arrow_table(columns), RowNames(1, about.num_rows), problems)


def _is_plain(kind: object) -> bool:
    import pyarrow as pa

    types = pa.types
    if types.is_list(kind) or types.is_large_list(kind):
        return bool(_is_plain(kind.value_type))  # type: ignore[attr-defined]  # a list has one; pyarrow is untyped
    plain = (types.is_string, types.is_large_string, types.is_dictionary, types.is_boolean, types.is_integer)
    return any(is_kind(kind) for is_kind in (*plain, types.is_floating, types.is_decimal, types.is_null))
