"""Which exchange format a text is in, told from its content."""

from __future__ import annotations

from typing import Protocol

from matcher.exchange.cgats import looks_like_cgats, read_cgats
from matcher.exchange.cxf import looks_like_cxf, read_cxf
from matcher.exchange.problems import Problems
from matcher.exchange.samples import Samples


class Reader(Protocol):
    """Reads a text of its format; ``unstated_light`` is taken where the file names none."""

    def __call__(
        self, text: str, problems: Problems, *, ten_degrees: bool = False, unstated_light: str = "D50"
    ) -> Samples | None:
        """Return the colours, or None where there are none; values for 10 degrees are taken only if asked for."""


def exchange_reader(text: str) -> Reader | None:
    """Return the reader for CxF3 or CGATS text, None for anything else."""
    if looks_like_cxf(text):
        return read_cxf
    return read_cgats if looks_like_cgats(text) else None
