"""ISCC-NBS colour designations: the 267 names of level 3, "light purplish gray".

Kelly & Judd 1976, "Color: Universal Language and Dictionary of Names", NBS Special Publication 440, colour-name charts
(pages 16 to 31). Every name is one or more blocks of Munsell hue, value and chroma; together they fill the solid.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

import numpy as np
from numpy.typing import ArrayLike

from matcher.colorimetry.munsell import hue_number, munsell
from matcher.colorimetry.spaces import Floats, as_floats


@dataclass(frozen=True, slots=True)
class Block:
    """A box of the Munsell solid with its name; hue runs upwards from ``hue_from``, through 100 where need be."""

    number: int
    name: str
    hue_from: float
    hue_to: float
    value_from: float
    value_to: float
    chroma_from: float
    chroma_to: float


def designation(lab: ArrayLike) -> str:
    """Return the designation of one colour, shape (3,), in lower case as published ("gray").

    >>> designation([76.0, 1.5, -3.0])
    'light purplish gray'
    """
    return designations(np.reshape(as_floats(lab), (1, 3)))[0]


def designations(lab: ArrayLike) -> list[str]:
    """Return the designation of each row of CIELAB ``(N, 3)``; raises ``ValueError`` where one is not finite."""
    table = blocks()
    return [table[index].name for index in block_indices(*munsell(lab))]


def block_indices(hue: ArrayLike, value: ArrayLike, chroma: ArrayLike) -> list[int]:
    """Return the index in :func:`blocks` of the block that holds each point, shapes (N,), hue 0..100.

    A point on a boundary belongs to the higher side; the charts give it either name.
    """
    low, high, full_circle = _limits()
    hue, value, chroma = (np.atleast_1d(as_floats(part)) for part in (hue, value, chroma))
    above = (hue[:, None] - low[:, 0]) % 100
    inside = full_circle | (above < (high[:, 0] - low[:, 0]) % 100)
    for column, part in ((1, np.maximum(value, 0)), (2, np.maximum(chroma, 0))):
        inside &= (part[:, None] >= low[:, column]) & (part[:, None] < high[:, column])
    return [int(index) for index in inside.argmax(axis=1)]


@cache
def blocks() -> tuple[Block, ...]:
    """Return all blocks of the charts."""
    text = (files("matcher.colorimetry") / "data" / "iscc_nbs.csv").read_text(encoding="utf-8")
    return tuple(
        Block(
            number=int(row["number"]),
            name=row["name"],
            hue_from=hue_number(row["hue_from"]),
            hue_to=hue_number(row["hue_to"]),
            value_from=float(row["value_from"]),
            value_to=float(row["value_to"] or "inf"),
            chroma_from=float(row["chroma_from"]),
            chroma_to=float(row["chroma_to"] or "inf"),
        )
        for row in csv.DictReader(text.splitlines())
    )


@cache
def _limits() -> tuple[Floats, Floats, np.ndarray[tuple[int], np.dtype[np.bool_]]]:
    table = blocks()
    low = np.array([(block.hue_from, block.value_from, block.chroma_from) for block in table])
    high = np.array([(block.hue_to, block.value_to, block.chroma_to) for block in table])
    return low, high, low[:, 0] == high[:, 0]
