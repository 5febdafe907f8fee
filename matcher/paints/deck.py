"""A deck of paints as columns: one row a paint, file order kept."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.floating[Any]]


@dataclass(frozen=True, eq=False)  # without slots, so that it can keep what it looked up
class Deck:
    """N paints.

    ``lab`` (N, 3) CIELAB D65/2; ``lrv`` (N,) 0..100 (as published where the file says, else 100 Y of the colour);
    ``reflectance`` (N, 36) at 380..730 nm in 10 nm steps, 0..1, rows of NaN where the file has no spectrum, or None
    when no paint has one; ``sha256`` of the file's bytes.

    ``tins`` are the litres each paint is sold in, ascending, () where the file does not say, or None where it never
    does; ``coverage`` (N,) m2 per litre and coat and ``sheen`` (N,) gloss units at 60 degrees (ISO 2813), NaN where not
    said, or None likewise.
    """

    name: str
    sha256: str
    codes: tuple[str, ...]
    names: tuple[str, ...]
    collections: tuple[str, ...]
    lab: FloatArray
    lrv: FloatArray
    exterior: NDArray[np.bool_]
    reflectance: FloatArray | None
    tins: tuple[tuple[float, ...], ...] | None = None
    coverage: FloatArray | None = None
    sheen: FloatArray | None = None

    def __len__(self) -> int:
        return len(self.codes)

    @cached_property
    def row_of(self) -> Mapping[str, int]:
        """The row of each code."""
        return {code: row for row, code in enumerate(self.codes)}

    def measured(self, row: int) -> FloatArray | None:
        """Return the reflectance (36,) of a paint, None where the file has no spectrum of it."""
        if self.reflectance is None or not np.isfinite(self.reflectance[row]).all():
            return None
        return np.asarray(self.reflectance[row])

    def only(self, kept: NDArray[np.bool_]) -> Deck:
        """Return the deck with some of its paints (N,) only, under its own name."""
        rows = np.flatnonzero(kept)
        return replace(
            self,
            codes=tuple(self.codes[row] for row in rows),
            names=tuple(self.names[row] for row in rows),
            collections=tuple(self.collections[row] for row in rows),
            lab=self.lab[rows],
            lrv=self.lrv[rows],
            exterior=self.exterior[rows],
            reflectance=None if self.reflectance is None else self.reflectance[rows],
            tins=None if self.tins is None else tuple(self.tins[row] for row in rows),
            coverage=None if self.coverage is None else self.coverage[rows],
            sheen=None if self.sheen is None else self.sheen[rows],
        )

    def with_paints(self, other: Deck, rows: Sequence[int]) -> Deck:
        """Return the deck with some paints of another at its end, under its own name and hash."""
        added = other.only(np.isin(np.arange(len(other)), rows))
        return replace(
            self,
            codes=(*self.codes, *added.codes),
            names=(*self.names, *added.names),
            collections=(*self.collections, *added.collections),
            lab=np.concatenate([self.lab, added.lab]),
            lrv=np.concatenate([self.lrv, added.lrv]),
            exterior=np.concatenate([self.exterior, added.exterior]),
            reflectance=_joined(self, added, "reflectance"),
            tins=None if self.tins is None else (*self.tins, *(added.tins or ((),) * len(added))),
            coverage=_joined(self, added, "coverage"),
            sheen=_joined(self, added, "sheen"),
        )


def _joined(deck: Deck, added: Deck, name: Literal["reflectance", "coverage", "sheen"]) -> FloatArray | None:
    """Return a column that a deck has with that of the paints added, NaN where they have none."""
    column: FloatArray | None = getattr(deck, name)
    if column is None:
        return None
    more: FloatArray | None = getattr(added, name)
    if more is None:
        more = np.full((len(added), *column.shape[1:]), np.nan)
    return np.concatenate([column, more])
