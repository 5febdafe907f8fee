"""A large deck a part at a time: all at once it leaves the processor's cache and takes fresh memory at every step."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import fields, is_dataclass
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

T = TypeVar("T")

# Paints in one part: a column of it is an eighth of a megabyte.
ROWS = 1 << 14


def in_parts(count: int, work: Callable[[slice], T], rows: int = ROWS) -> T:
    """Do work on so many rows at a time; of what it returns, arrays, and tuples, mappings and dataclasses of them, hold
    an entry for each row and come back in one piece. All else is that of the first part.
    """
    first = work(slice(0, rows))
    if count <= rows:
        return first
    whole = [np.empty((count, *column.shape[1:]), column.dtype) for column in _columns(first)]
    for start in range(0, count, rows):
        part = first if start == 0 else work(slice(start, start + rows))
        for column, values in zip(whole, _columns(part), strict=True):
            column[start : start + rows] = values
    made: T = _of(first, iter(whole))
    return made


def _columns(value: Any) -> Iterator[NDArray[Any]]:
    if isinstance(value, np.ndarray):
        yield value
    for one in _within(value).values():
        yield from _columns(one)


def _of(value: Any, columns: Iterator[NDArray[Any]]) -> Any:
    """The same made of other columns."""
    if isinstance(value, np.ndarray):
        return next(columns)
    made = {name: _of(one, columns) for name, one in _within(value).items()}
    if isinstance(value, tuple):
        return tuple(made.values())
    if isinstance(value, Mapping):
        return made
    return type(value)(**made) if made else value


def _within(value: Any) -> dict[Any, Any]:
    if isinstance(value, tuple):
        return dict(enumerate(value))
    if isinstance(value, Mapping):
        return dict(value)
    return {one.name: getattr(value, one.name) for one in fields(value)} if is_dataclass(value) else {}
