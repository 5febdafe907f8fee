"""Two editions of a deck: what is gone and what comes nearest to it, what is new, what moved, what has another code."""

from __future__ import annotations

import math
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

# Of CIEDE2000 (CIE 142-2001): S_C is 1 + 0.045 C', C' is 1.5 C* at most; the rotation term, at most 2 sin 60 deg, takes
# from a step in chroma and hue so much of its square that this much of its length is left.
_SC_OF_CHROMA = 0.045 * 1.5
_ROTATED = math.sqrt(1 - math.sin(math.radians(60)))
_GUESSES = 16  # assumption: among so many nearest by CIELAB is one about as near as the nearest by CIEDE2000
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

    tree = cKDTree(others)
    _, guesses = tree.query(lab, k=range(1, min(_GUESSES, len(others)) + 1))
    reach = np.asarray(delta_e_2000(lab[:, None], others[guesses])).min(axis=1)
    radius = farthest(lab, reach)
    rows, apart, every = np.empty(len(lab), dtype=np.intp), np.empty(len(lab)), np.arange(len(others))
    for place, here in enumerate(lab):
        within = np.isfinite(radius[place])
        near = np.array(tree.query_ball_point(here, radius[place], return_sorted=True)) if within else every
        found = np.asarray(delta_e_2000(here, others[near]))
        best = int(found.argmin())
        rows[place], apart[place] = near[best], found[best]
    return rows, apart


def farthest(lab: Floats, reach: Floats) -> Floats:
    """Return how far by CIELAB (M,) a colour may be from each of ``lab`` whose CIEDE2000 from it is at most ``reach``;
    infinite where no bound is known.

    By the formula (CIE 142-2001): a step across a*, b* weighs at least _ROTATED / S_C, as S_H is less than S_C, a' is
    never less than a*, and the rotation term takes no more; one along L* weighs more than that. S_C grows with the mean
    chroma, which the step itself may raise: hence the closed form, and no bound where it does so faster than the step.
    """
    chroma = np.hypot(lab[:, 1], lab[:, 2])
    here = (1 + _SC_OF_CHROMA * chroma) / _ROTATED
    steeper = reach * (_SC_OF_CHROMA / 2) / _ROTATED
    bounded = steeper < 1
    return np.where(bounded, reach * here / np.where(bounded, 1 - steeper, 1) + 1e-9, np.inf)


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
