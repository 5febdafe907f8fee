"""The five terms of a score for every paint of a deck, each 0..1."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.harmony.agreement import saturation
from matcher.harmony.ramp import smoothstep
from matcher.harmony.tint import Tint, tint
from matcher.harmony.warmth import warmth
from matcher.paints.deck import Deck
from matcher.ranking import weights
from matcher.ranking.light import LightCost, RoomLight, light_cost
from matcher.ranking.neighbours import pair_fit, related
from matcher.ranking.pairs import Pairs

FloatArray = NDArray[np.floating[Any]]


@dataclass(frozen=True, slots=True, eq=False)
class Paints:
    """N paints as columns: ``lab`` (N, 3), ``lrv``, ``chroma`` and ``warmth`` (N,), ``tint`` in single precision."""

    lab: FloatArray
    lrv: FloatArray
    chroma: FloatArray
    warmth: FloatArray
    tint: Tint

    def take(self, rows: NDArray[np.intp]) -> Paints:
        """The same columns for some rows."""
        return Paints(self.lab[rows], self.lrv[rows], self.chroma[rows], self.warmth[rows], self.tint.at(rows))


def paints_of(deck: Deck) -> Paints:
    """What of a deck needs no room to be known."""
    lab = np.asarray(deck.lab, dtype=np.float64)
    chroma = np.hypot(lab[:, 1], lab[:, 2])
    return Paints(lab, np.asarray(deck.lrv, dtype=np.float64), chroma, warmth(lab), tint(lab.astype(np.float32)))


@dataclass(frozen=True, slots=True)
class Wishes:
    """``warmth``: "warm", "cool" or "either"; ``lrv_range`` asked of the walls, or None."""

    warmth: str = "either"
    lrv_range: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True, eq=False)
class TermTable:
    """(N,) arrays, 0..1; ``separation`` (N, S) step from each given; ``fit`` for the role; ``beside`` the fit with
    each role already chosen; ``counted`` what the score counts of the fit; ``score`` all together.
    """

    harmony: FloatArray
    undertone: FloatArray
    contrast: FloatArray
    light: FloatArray
    wishes: FloatArray
    separation: FloatArray
    fit: FloatArray
    counted: FloatArray
    beside: Mapping[str, FloatArray]
    light_cost: LightCost
    score: FloatArray

    def take(self, rows: NDArray[np.intp]) -> TermTable:
        """The same columns for some rows."""
        beside = {role: fit[rows] for role, fit in self.beside.items()}
        return TermTable(
            self.harmony[rows], self.undertone[rows], self.contrast[rows], self.light[rows], self.wishes[rows],
            self.separation[rows], self.fit[rows], self.counted[rows], beside,
            self.light_cost.take(rows), self.score[rows],
        )  # fmt: skip


def _plateau(rising: FloatArray, falling: FloatArray, corners: tuple[float, float, float, float]) -> FloatArray:
    return np.asarray(smoothstep(rising, corners[0], corners[1]) * smoothstep(falling, corners[3], corners[2]))


def role_fit(role: str, paints: Paints, wishes: Wishes) -> tuple[FloatArray, FloatArray]:
    """How far each paint is what the role asks for, by lightness and chroma alone, 0..1, and what the score counts.

    A client who names an LRV for the walls wants that and not what walls usually are.
    """
    expected = weights.EXPECTATIONS[role]
    asked = wishes.lrv_range if role == "walls" else None
    lightness = expected.lrv
    if asked is not None:
        lightness = (asked[0] - weights.LRV_MISSED_BY, *asked, asked[1] + weights.LRV_MISSED_BY)
    lightness_fit = _plateau(paints.lrv, paints.lrv, lightness)
    # A dark colour needs less chroma to be one: a bottle green of C* 13 is no grey.
    coloured = np.maximum(paints.chroma, saturation(paints.tint))
    chroma_fit = _plateau(coloured, paints.chroma, expected.chroma)
    if role == "accent":
        chroma_fit = np.maximum(chroma_fit, smoothstep(paints.lrv, *weights.ACCENT_DARK_LRV))
    least, fit = expected.least_fit, lightness_fit * chroma_fit
    if asked is not None:
        return fit, np.asarray(lightness_fit * (least + (1 - least) * chroma_fit))
    return fit, np.asarray(least + (1 - least) * fit)


def wish_term(role: str, paints: Paints, wishes: Wishes) -> FloatArray:
    """1 where every wish is met; a neutral half meets a wish for warm or cool."""
    term: FloatArray = np.ones(len(paints.lrv))
    if wishes.warmth in ("warm", "cool"):
        towards = paints.warmth if wishes.warmth == "warm" else -paints.warmth
        term = smoothstep(towards, -0.6, 0.6)
    if role == "walls" and wishes.lrv_range is not None:
        low, high = wishes.lrv_range
        outside = np.maximum(np.maximum(low - paints.lrv, paints.lrv - high), 0)
        term = term * np.clip(1 - outside / weights.LRV_MISSED_BY, 0, 1)
    return np.asarray(term)


def neighbour_fits(role: str, lab: FloatArray, neighbours: Mapping[str, FloatArray]) -> dict[str, FloatArray]:
    """(N,) each: the fit with every paint already chosen for a role that a rule speaks of."""
    return {
        other: pair_fit(role, lab, other, other_lab)
        for other, other_lab in sorted(neighbours.items())
        if related(role, other)
    }


def undertone_term(total: FloatArray) -> FloatArray:
    """From agreement (-0.75..0.6) to 0..1."""
    return np.asarray(np.clip(0.5 + weights.AGREEMENT_SLOPE * total, 0, 1))


def harmony_term(relative: FloatArray) -> FloatArray:
    """From relative harmony (about -0.8..0.5) to 0..1, 0.5 for a plain grey."""
    return np.asarray(0.5 + 0.5 * np.tanh(relative / weights.HARMONY_SPREAD))


def combine(role: str, counted: FloatArray, terms: tuple[FloatArray, ...]) -> FloatArray:
    """The score: the weighted sum of the five terms, in the order of TermWeights, scaled by the fitness counted."""
    shares = weights.TERM_WEIGHTS[role]
    order = (shares.harmony, shares.undertone, shares.contrast, shares.light, shares.wishes)
    total = sum(share * term for share, term in zip(order, terms, strict=True))
    return np.asarray(total * (weights.UNFIT_SHARE + (1 - weights.UNFIT_SHARE) * counted))


def term_table(
    role: str,
    paints: Paints,
    pairs: Pairs,
    *,
    light: RoomLight,
    wishes: Wishes,
    neighbours: Mapping[str, FloatArray],
) -> TermTable:
    """All terms of one role for all paints."""
    by_role, counted = role_fit(role, paints, wishes)
    share = weights.EXPECTATIONS[role].separation
    fits = neighbour_fits(role, paints.lab, neighbours)
    beside = np.mean(list(fits.values()), axis=0) if fits else np.ones(len(by_role))
    cost = light_cost(light, paints.lab, paints.lrv, paints.warmth, large=role in ("walls", "ceiling"))
    light_term = cost.term()
    contrast = by_role * (1 - share + share * pairs.apart) * beside
    beside_share = 1 - weights.NEIGHBOUR_SHARE * (1 - beside)
    fit, counted = by_role * beside_share, counted * beside_share
    harmony, undertone = harmony_term(pairs.harmony), undertone_term(pairs.undertone)
    wished = wish_term(role, paints, wishes)
    score = combine(role, counted, (harmony, undertone, contrast, light_term, wished))
    return TermTable(
        harmony, undertone, contrast, light_term, wished, pairs.separation, fit, counted, fits, cost, score
    )
