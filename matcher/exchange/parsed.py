"""A column whose numbers are known already, and whose texts are asked for only where something is wrong with one."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import overload

import numpy as np
from numpy.typing import NDArray

from matcher.exchange.samples import FloatArray


class _Texts(Sequence[str]):
    """Texts that are made when they are asked for: ``__len__`` says how many, ``_at`` what stands at a place."""

    def _at(self, place: int) -> str:
        raise NotImplementedError

    @overload
    def __getitem__(self, place: int) -> str: ...

    @overload
    def __getitem__(self, place: slice) -> Sequence[str]: ...

    def __getitem__(self, place: int | slice) -> str | Sequence[str]:
        if isinstance(place, slice):
            return [self._at(one) for one in range(*place.indices(len(self)))]
        return self._at(place)

    def __iter__(self) -> Iterator[str]:
        return (self._at(place) for place in range(len(self)))


class ParsedColumn(_Texts):
    """``values`` (N,), NaN where ``blank`` (N,); ``text`` gives what stands in a row, "" where it is blank."""

    def __init__(self, values: FloatArray, blank: NDArray[np.bool_], text: Callable[[int], str]) -> None:
        self.values, self.blank, self._text = values, blank, text

    def __len__(self) -> int:
        return len(self.values)

    def _at(self, place: int) -> str:
        return "" if self.blank[place] else self._text(place)


class RowNames(_Texts):
    """``row 2``, ``row 3`` and so on, from ``first``: a million of them take no memory until one is named."""

    def __init__(self, first: int, count: int) -> None:
        self._numbers = range(first, first + count)

    def __len__(self) -> int:
        return len(self._numbers)

    def _at(self, place: int) -> str:
        return f"row {self._numbers[place]}"
