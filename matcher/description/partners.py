"""Quiet partners: paints of a deck that bring out a paint's undertone, and it theirs, while both stay quiet.

Each shifts the look of the other away from itself (harmony/induced.py). A partner is one whose shift points the way the
paint leans already, and which is shifted the way it leans itself; both stay below a strong tint with the shift on, and
neither fights the other or what stays in the room (harmony/agreement.py).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from matcher.harmony.agreement import undertone_agreement
from matcher.harmony.induced import STRONG, WEAK, brings_out, induced_shift
from matcher.harmony.near_miss import near_miss_white
from matcher.harmony.tint import own_boundary, tint, visibility
from matcher.harmony.undertone import STRENGTHS
from matcher.paints.deck import Deck

FloatArray = NDArray[np.floating[Any]]
# Why a colour has no partner: no lean to bring out, no longer quiet, or nothing in the deck does both.
Without = Literal["neutral", "strong", "none found"]

# Quiet is what is neither neutral nor strong among the words for an undertone.
_NEUTRAL, _STRONG_TINT = STRENGTHS[0][0], STRENGTHS[2][0]
# An agreement as low as this is where the ranking begins to warn (assumption there).
_NO_FIGHT = -0.15
_NEAR_MISS = 0.5
# A pair of which one is shifted by less than this share of what just shows brings nothing out (assumption).
_LEAST_GAIN = 0.1


@dataclass(frozen=True, slots=True, eq=False)
class Partner:
    """Row ``paint`` of the deck. ``on_it`` and ``on_partner``: the predicted shift, CIELAB (2, 3), weakest and
    strongest; ``gain_it`` and ``gain_partner`` (2,) the same over the smallest chroma that shows (1: just visible).
    """

    paint: int
    on_it: FloatArray
    on_partner: FloatArray
    gain_it: tuple[float, float]
    gain_partner: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Partners:
    """``found`` best first; ``without`` says why there is none, else None."""

    found: tuple[Partner, ...]
    without: Without | None


def partners(
    deck: Deck, here: ArrayLike, *, paint: int | None = None, stays: ArrayLike = (), count: int = 3
) -> Partners:
    """Return the partners of the colour ``here`` (CIELAB); ``paint`` is its row where the deck has it.

    ``stays`` (S, 3) are colours of the room that a partner may not fight. Best is the one where the smaller of the two
    shifts is largest.
    """
    colour = np.asarray(here, dtype=float)
    own = float(visibility(colour))
    if not _NEUTRAL <= own < _STRONG_TINT:
        return Partners((), "neutral" if own < _NEUTRAL else "strong")
    lab = np.asarray(deck.lab, dtype=float)
    seen = visibility(lab)
    rows = np.flatnonzero((seen >= _NEUTRAL) & (seen < _STRONG_TINT) & (np.arange(len(deck)) != paint))
    rows = rows[_fit(lab[rows], colour, np.asarray(stays, dtype=float).reshape(-1, 3))]
    others = lab[rows]
    on_it = np.stack([induced_shift(colour, others, p) for p in (WEAK, STRONG)])
    on_partner = np.stack([induced_shift(others, colour, p) for p in (WEAK, STRONG)])
    bring_out = brings_out(colour, on_it[1]) & brings_out(others, on_partner[1])
    quiet = (visibility(colour + on_it[1]) < _STRONG_TINT) & (visibility(others + on_partner[1]) < _STRONG_TINT)
    gain_it, gain_partner = _gain(colour, on_it), _gain(others, on_partner)
    smaller = np.minimum(gain_it[1], gain_partner[1])
    kept = np.flatnonzero(bring_out & quiet & (smaller >= _LEAST_GAIN))
    best = kept[np.argsort(-smaller[kept], kind="stable")[:count]]
    found = tuple(
        Partner(int(rows[at]), on_it[:, at], on_partner[:, at], _pair(gain_it[:, at]), _pair(gain_partner[:, at]))
        for at in best
    )
    return Partners(found, None if found else "none found")


def _fit(others: FloatArray, colour: FloatArray, stays: FloatArray) -> NDArray[np.bool_]:
    """Return which of ``others`` (N, 3) fight neither the colour nor what stays, and are no near miss of a white."""
    fits = (undertone_agreement(others, colour) > _NO_FIGHT) & (undertone_agreement(colour, others) > _NO_FIGHT)
    fits &= near_miss_white(tint(others), tint(colour)) < _NEAR_MISS
    for stay in stays:
        fits &= undertone_agreement(others, stay) > _NO_FIGHT
    return np.asarray(fits)


def _gain(colours: FloatArray, shifts: FloatArray) -> FloatArray:
    """Return the size of shifts (2, N, 3) over the smallest chroma that shows at the colours' own hues, (2, N)."""
    return np.hypot(shifts[..., 1], shifts[..., 2]) / own_boundary(colours)


def _pair(gain: FloatArray) -> tuple[float, float]:
    return float(gain[0]), float(gain[1])
