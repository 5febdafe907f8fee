"""Columns of a deck as Arrow holds them, turned into texts and numbers a column at a time instead of field by field.

Arrow's own way to numpy loads pandas first, which takes longer than a hundred thousand paints: the buffers are read.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.exchange.parsed import ParsedColumn


def number_column(column: Any) -> Sequence[str]:
    """Return numbers, typed or written (blanks around them allowed), as far as all of them are; else the texts."""
    import pyarrow as pa
    import pyarrow.compute as pc

    column = _whole(column)
    written = _is_text(column)
    try:
        numbers = pc.cast(_filled(column), pa.float64()) if written else pc.cast(column, pa.float64(), safe=False)
    except (pa.ArrowInvalid, pa.ArrowNotImplementedError):
        return text_column(column)
    blank = _bools(pc.is_null(numbers))
    values = np.where(blank, np.nan, _buffer(numbers, np.float64))
    if written and not np.isfinite(values[~blank]).all():
        # "nan" and "inf" are words for what is no number of a paint: said as they stand.
        return text_column(column)
    return ParsedColumn(values, blank, lambda place: _plain(column[place].as_py()))


def text_column(column: Any) -> list[str]:
    """Return texts without blanks around them; where few differ, equal ones are one object."""
    import pyarrow as pa
    import pyarrow.compute as pc

    column = _whole(column)
    if pa.types.is_dictionary(column.type):
        words = [*map(_plain, column.dictionary.to_pylist()), ""]
        # The last word is what a null is.
        places = np.where(_bools(pc.is_null(column)), -1, _buffer(pc.cast(column.indices, pa.int64()), np.int64))
        found: list[str] = np.array(words, dtype=object)[places].tolist()
        return found
    if not _is_text(column):
        return [_plain(each) for each in column.to_pylist()]
    if column.null_count:
        return [_plain(each) for each in column.to_pylist()]
    trimmed: list[str] = pc.utf8_trim_whitespace(column).to_pylist()
    return trimmed


def repeated_column(column: Any) -> list[str]:
    """Return the texts of a column in which few differ, such as the collections of a deck."""
    column = _whole(column)
    return text_column(column.dictionary_encode() if _is_text(column) else column)


def _filled(column: Any) -> Any:
    """Texts without blanks around them, empty ones null."""
    import pyarrow as pa
    import pyarrow.compute as pc

    texts = pc.utf8_trim_whitespace(column)
    empty = pc.invert(pc.cast(pc.utf8_length(texts), pa.bool_()))
    return pc.if_else(empty, pa.nulls(len(texts), texts.type), texts)


def _whole(column: Any) -> Any:
    import pyarrow as pa

    return column.combine_chunks() if isinstance(column, pa.ChunkedArray) else column


def _is_text(column: Any) -> bool:
    import pyarrow as pa

    return bool(pa.types.is_string(column.type) or pa.types.is_large_string(column.type))


def _bools(column: Any) -> NDArray[np.bool_]:
    import pyarrow as pa
    import pyarrow.compute as pc

    return _buffer(pc.cast(column, pa.uint8()), np.uint8).astype(np.bool_)


def _buffer(column: Any, kind: type[np.generic]) -> NDArray[Any]:
    """(N,) what lies in memory; nothing that means anything where the column has a null."""
    size = np.dtype(kind).itemsize
    return np.frombuffer(column.buffers()[1], dtype=kind, count=len(column), offset=size * column.offset)


def _plain(value: object) -> str:
    """Return a value as it would be written in a CSV file."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, list):
        return "|".join(map(_plain, value))
    return f"{value:.12g}" if isinstance(value, float) else str(value).strip()
