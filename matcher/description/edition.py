"""Two editions of a deck: what is gone and what comes nearest to it, what is new, what moved, what has another code."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

import numpy as np

from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.spaces import Floats
from matcher.description.comparison import VISIBLE_DE00
from matcher.description.same_name import folded
from matcher.paints.deck import Deck

# CIEDE2000 is at least the step in L* over S_L, which is 1.75 at most (CIE 142-2001): whatever is nearer than a known
# paint lies within this many times that paint's distance in lightness.
_LIGHTNESS_REACH = 1.75
# dE00 that is printed as 0.00: the same colour, as far as a file can say.
SAME_DE00 = 0.005
# Assumption: from this share of the old codes on, codes were changed rather than paints taken out.
_MOST_CODES = 0.5

# What a deck may tell of its paints beside their colour.
Column = Literal["collections", "exterior", "reflectance", "tins", "coverage", "sheen"]


@dataclass(frozen=True, slots=True)
class Gone:
    """A paint of the old edition (``code``) whose code the new one lacks; ``nearest`` of the new one, ``de00`` apart.
    ``renamed`` tells that it is the same colour under a new code.
    """

    code: str
    nearest: str
    de00: float
    renamed: bool

    @property
    def visible(self) -> bool:
        """Tell whether anybody would see the difference, side by side."""
        return self.de00 >= VISIBLE_DE00


@dataclass(frozen=True, slots=True)
class Moved:
    """A paint of both editions whose colour is not the same in both."""

    code: str
    de00: float

    @property
    def visible(self) -> bool:
        """Tell whether anybody would see the difference, side by side."""
        return self.de00 >= VISIBLE_DE00


@dataclass(frozen=True)  # without slots, so that it can keep what it looked up
class Edition:
    """What the new edition changes, each in the order of its deck; ``lacks`` what the old one told of its paints and
    the new one does not; ``codes_changed`` whether most codes are others for the same colours.
    """

    gone: tuple[Gone, ...]
    new: tuple[str, ...]
    moved: tuple[Moved, ...]
    lacks: tuple[Column, ...]
    codes_changed: bool

    @cached_property
    def stands_in(self) -> Mapping[str, Gone]:
        """What comes nearest to each code that is gone."""
        return {each.code: each for each in self.gone}

    @cached_property
    def moves(self) -> Mapping[str, Moved]:
        """How far each code moved that did."""
        return {each.code: each for each in self.moved}


def compare_editions(old: Deck, new: Deck) -> Edition:
    """Compare two editions by their codes."""
    lost = [row for row, code in enumerate(old.codes) if code not in new.row_of]
    added = tuple(code for code in new.codes if code not in old.row_of)
    kept = [(row, new.row_of[code]) for row, code in enumerate(old.codes) if code in new.row_of]
    moved: list[Moved] = []
    if kept:
        before, after = (np.array(rows, dtype=np.intp) for rows in zip(*kept, strict=True))
        apart = np.asarray(delta_e_2000(old.lab[before], new.lab[after]))
        moved = [Moved(old.codes[before[i]], float(apart[i])) for i in np.flatnonzero(apart >= SAME_DE00)]
    gone = tuple(_gone(old, new, lost))
    renamed = sum(each.renamed for each in gone)
    return Edition(gone, added, tuple(moved), _lacks(old, new), renamed >= _MOST_CODES * len(old))


def nearest_rows(lab: Floats, others: Floats) -> tuple[np.ndarray[tuple[int], np.dtype[np.intp]], Floats]:
    """Return for each of ``lab`` (M, 3) the row of ``others`` (N, 3) nearest by CIEDE2000, the first of equal ones, and
    how far it is (M,).
    """
    # Here: a process that only ranks rooms is handed an edition, and starts in half the time without it.
    from scipy.spatial import cKDTree

    order = np.argsort(others[:, 0], kind="stable")
    lightness = others[order, 0]
    # Any paint bounds the search; the nearest by CIELAB bounds it well.
    _, guess = cKDTree(others).query(lab)
    reach = _LIGHTNESS_REACH * np.asarray(delta_e_2000(lab, others[guess])) + 1e-9
    first = np.searchsorted(lightness, lab[:, 0] - reach, side="left")
    last = np.searchsorted(lightness, lab[:, 0] + reach, side="right")
    rows, apart = np.empty(len(lab), dtype=np.intp), np.empty(len(lab))
    for place, here in enumerate(lab):
        near = np.sort(order[first[place] : last[place]])
        found = np.asarray(delta_e_2000(here, others[near]))
        best = int(found.argmin())
        rows[place], apart[place] = near[best], found[best]
    return rows, apart


def _gone(old: Deck, new: Deck, lost: Sequence[int]) -> list[Gone]:
    if not lost:
        return []
    rows, apart = nearest_rows(old.lab[lost], new.lab)
    # Of several of one colour the one that is called the same.
    called: dict[str, list[int]] = {}
    for row, name in enumerate(new.names):
        called.setdefault(folded(name), []).append(row)
    found = []
    for row, nearest, de00 in zip(lost, rows.tolist(), apart.tolist(), strict=True):
        if de00 < SAME_DE00:
            same = called.get(folded(old.names[row]), [])
            alike = [other for other in same if float(delta_e_2000(old.lab[row], new.lab[other])) < SAME_DE00]
            nearest = alike[0] if alike else nearest
        renamed = de00 < SAME_DE00 and new.codes[nearest] not in old.row_of
        found.append(Gone(old.codes[row], new.codes[nearest], de00, renamed))
    return found


def _lacks(old: Deck, new: Deck) -> tuple[Column, ...]:
    lacks: list[Column] = []
    if any(old.collections) and not any(new.collections):
        lacks.append("collections")
    if old.exterior.any() and not new.exterior.any():
        lacks.append("exterior")
    lacks += ["reflectance"] if old.reflectance is not None and new.reflectance is None else []
    lacks += ["tins"] if old.tins is not None and new.tins is None else []
    lacks += ["coverage"] if old.coverage is not None and new.coverage is None else []
    lacks += ["sheen"] if old.sheen is not None and new.sheen is None else []
    return tuple(lacks)
