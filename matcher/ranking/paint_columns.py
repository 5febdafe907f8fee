"""What of a deck needs no room to be known, as columns."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.harmony.ou_luo import liking_above_grey
from matcher.harmony.tint import Tint, tint
from matcher.harmony.warmth import warmth
from matcher.paints.curves import deck_curves
from matcher.paints.deck import Deck
from matcher.ranking import weights
from matcher.ranking.parts import in_parts

FloatArray = NDArray[np.floating[Any]]


@dataclass(frozen=True, slots=True, eq=False)
class Paints:
    """N paints as columns: ``lab`` (N, 3), ``lrv``, ``chroma`` and ``warmth`` (N,); in single precision ``tint``, and
    ``liking``, what counts of how well a hue is liked whatever it stands beside. ``curves`` gives their reflectances
    (N, 36), found when first asked for: only a room whose light is known asks.
    """

    lab: FloatArray
    lrv: FloatArray
    chroma: FloatArray
    warmth: FloatArray
    tint: Tint
    liking: FloatArray
    curves: Callable[[], FloatArray]

    def take(self, rows: NDArray[np.intp] | slice) -> Paints:
        """The same columns for some rows."""
        return Paints(
            self.lab[rows], self.lrv[rows], self.chroma[rows], self.warmth[rows], self.tint.at(rows),
            self.liking[rows], lambda: self.curves()[rows],
        )  # fmt: skip


def paints_of(deck: Deck) -> Paints:
    """Return the columns of a deck, in its order."""
    lab = np.asarray(deck.lab, dtype=np.float64)
    warm, tints, liking = in_parts(len(lab), lambda part: _columns(lab[part]))
    return Paints(
        lab=lab,
        lrv=np.asarray(deck.lrv, dtype=np.float64),
        chroma=np.hypot(lab[:, 1], lab[:, 2]),
        warmth=warm,
        tint=tints,
        liking=liking,
        curves=lambda: deck_curves(deck).reflectance,
    )


def _columns(lab: FloatArray) -> tuple[FloatArray, Tint, FloatArray]:
    single = lab.astype(np.float32)
    return warmth(lab), tint(single), weights.HUE_LIKING_SHARE * liking_above_grey(single)
