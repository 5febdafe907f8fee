"""What of the measured surfaces stays: old paint that is to go is measured too, but nothing has to suit it."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from typing import TypeVar

T = TypeVar("T")


def staying(surfaces: Sequence[T], roles: Collection[str], name: Callable[[T], str]) -> tuple[T, ...]:
    """Return the surfaces that are none of the ``roles`` to be painted; all of them where nothing else is measured.

    >>> staying(["floor", "Cabinets"], ["walls", "cabinets"], str)
    ('floor',)
    """
    kept = tuple(surface for surface in surfaces if name(surface).casefold() not in roles)
    return kept or tuple(surfaces)
