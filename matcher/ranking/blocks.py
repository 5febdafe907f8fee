"""Large tables are worked out a few rows at a time, so that every intermediate column stays in the processor's cache.

Whole, each of a rule's hundred intermediate columns is fresh memory that the system must first map: half of the time.
"""

from __future__ import annotations

from collections.abc import Iterator

# Cells of a block: 32 kB a column in single precision (measured: the best of 4 to 64 kB).
_CELLS = 8192


def blocks(rows: int, cells_per_row: int) -> Iterator[slice]:
    """Slices that cover ``rows``, in order; one empty slice for no rows."""
    step = max(_CELLS // max(cells_per_row, 1), 1)
    for start in range(0, max(rows, 1), step):
        yield slice(start, start + step)
