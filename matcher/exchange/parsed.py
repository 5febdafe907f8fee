"""A column whose numbers are known already, and whose texts are asked for only where something is wrong with one."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import overload

import numpy as np
from numpy.typing import NDArray

from matcher.exchange.samples import FloatArray


class ParsedColumn(Sequence[str]):
    """``values`` (N,), NaN where ``blank`` (N,); ``text`` gives what stands in a row, "" where it is blank."""

    def __init__(self, values: FloatArray, blank: NDArray[np.bool_], text: Callable[[int], str]) -> None:
        self.values, self.blank, self._text = values, blank, text

    def __len__(self) -> int:
        return len(self.values)

    @overload
    def __getitem__(self, place: int) -> str: ...

    @overload
    def __getitem__(self, place: slice) -> Sequence[str]: ...

    def __getitem__(self, place: int | slice) -> str | Sequence[str]:
        if isinstance(place, slice):
            return [self[one] for one in range(*place.indices(len(self)))]
        return "" if self.blank[place] else self._text(place)

    def __iter__(self) -> Iterator[str]:
        return (self[place] for place in range(len(self)))


class RowNames(Sequence[str]):
    """``row 2``, ``row 3`` and so on, from ``first``: a million of them take no memory until one is named."""

    def __init__(self, first: int, count: int) -> None:
        self._numbers = range(first, first + count)

    def __len__(self) -> int:
        return len(self._numbers)

    @overload
    def __getitem__(self, place: int) -> str: ...

    @overload
    def __getitem__(self, place: slice) -> Sequence[str]: ...

    def __getitem__(self, place: int | slice) -> str | Sequence[str]:
        if isinstance(place, slice):
            return [f"row {number}" for number in self._numbers[place]]
        return f"row {self._numbers[place]}"
