"""What paints would score if the surfaces were truly as drawn: every term that a surface's colour enters, and clashes.

A surface can be judged by itself, so that drawing one of them anew does not judge the others again.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import reduce
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.harmony.ou_luo import relative_harmony
from matcher.harmony.tint import tint
from matcher.ranking import weights
from matcher.ranking.clashes import clash_severity, merge_severity
from matcher.ranking.givens import Givens
from matcher.ranking.pairs import accord, meant_step
from matcher.ranking.terms import Paints, TermTable, combine, harmony_term, undertone_term

FloatArray = NDArray[np.floating[Any]]


@dataclass(frozen=True, slots=True, eq=False)
class Judged:
    """M paints beside one surface in drawn rooms, (M, ...) each: agreement of undertones and relative harmony, how far
    the step in lightness reads as meant (0..1), and how badly the worst of its colours clashes (0..1).
    """

    undertone: FloatArray
    harmony: FloatArray
    step: FloatArray
    clash: FloatArray

    def shaped(self, *draws: int) -> Judged:
        r"""The same as (M, draws ...): of the first so many draws."""
        count = math.prod(draws)
        return Judged(
            *(one[:, :count].reshape(-1, *draws) for one in (self.undertone, self.harmony, self.step, self.clash))
        )

    def rows(self, kept: Any) -> Judged:
        """The same for some of the paints."""
        return Judged(self.undertone[kept], self.harmony[kept], self.step[kept], self.clash[kept])


@dataclass(frozen=True, slots=True, eq=False)
class Undrawn:
    """What of M paints in a role no draw moves: the terms at the measured colours, and ``apart`` (M,) from them."""

    role: str
    table: TermTable
    apart: FloatArray


def judge_surface(paints: Paints, givens: Givens, place: int, lab: FloatArray, mean: FloatArray) -> Judged:
    """Judge paints beside surface number ``place``: its colours ``lab`` (D, k, 3) and their ``mean`` (D, 3)."""
    return _judged(givens, place, _beside(paints, lab), mean)


def judge_surfaces(paints: Paints, givens: Givens, lab: FloatArray, means: FloatArray) -> list[Judged]:
    """Judge paints beside every surface: all colours ``lab`` (D, K, 3), and the surfaces' ``means`` (D, S, 3).

    All at once, which is quicker for few paints.
    """
    beside = _beside(paints, lab)
    return [
        _judged(givens, place, beside.colours(givens.columns(place)), means[:, place])
        for place in range(len(givens.surfaces))
    ]


@dataclass(frozen=True, slots=True, eq=False)
class _Beside:
    """Paints ``lab`` (M, 3) beside drawn colours: ``drawn`` (k, D, 3), and of each (M, D) the undertones' agreement in
    all and the relative harmony.
    """

    lab: FloatArray
    drawn: FloatArray
    totals: Sequence[FloatArray]
    harmony: Sequence[FloatArray]

    def colours(self, which: slice) -> _Beside:
        """The same for some of the colours."""
        return _Beside(self.lab, self.drawn[which], self.totals[which], self.harmony[which])


def _beside(paints: Paints, lab: FloatArray) -> _Beside:
    # One row of draws for each colour: numpy is fast along long rows.
    drawn = np.ascontiguousarray(lab.swapaxes(0, 1), dtype=np.float32)
    lab32 = paints.lab.astype(np.float32)
    totals = accord(paints.tint.at((slice(None), None)), tint(drawn.reshape(-1, 3))).total
    pairs = relative_harmony(lab32[:, None], drawn.reshape(-1, 3), hue_liking_share=weights.HUE_LIKING_SHARE)
    return _Beside(lab32, drawn, _by_colour(totals, len(drawn)), _by_colour(pairs, len(drawn)))


def _judged(givens: Givens, place: int, beside: _Beside, mean: FloatArray) -> Judged:
    seen = givens.seen[givens.columns(place)].tolist()
    means = np.ascontiguousarray(mean, dtype=np.float32)
    return Judged(
        undertone=givens.within(place, beside.totals, weights.WORST_COLOUR),
        harmony=givens.within(place, beside.harmony, weights.WORST_HARMONY),
        step=np.minimum(meant_step(beside.lab, beside.drawn[0]), meant_step(beside.lab, means)),
        clash=reduce(
            np.maximum, (clash_severity(total) * share for total, share in zip(beside.totals, seen, strict=True))
        ),
    )


def _by_colour(values: FloatArray, colours: int) -> list[FloatArray]:
    """(M, k * D) as k arrays (M, D)."""
    return np.split(values, colours, axis=1)


def drawn_scores(undrawn: Undrawn, judged: Sequence[Judged], givens: Givens) -> FloatArray:
    """Scores of a role, (M, ...) as the drawn rooms are; ``judged`` holds every surface, in the order of the givens.

    Surfaces may be drawn along different axes: what they come to is broadcast.
    """
    table = undrawn.table
    ahead = (-1, *[1] * (judged[0].step.ndim - 1))
    contrast_now, apart_now, light, wishes, counted = (
        column.reshape(ahead)
        for column in (
            table.contrast,
            undrawn.apart,
            table.light,
            table.wishes,
            table.counted,
        )
    )
    share = weights.EXPECTATIONS[undrawn.role].separation
    apart = np.minimum(givens.among([one.step for one in judged], weights.WORST_SURFACE), 1.0)
    contrast = contrast_now / (1 - share + share * apart_now) * (1 - share + share * apart)
    terms = (
        harmony_term(givens.among([one.harmony for one in judged], weights.WORST_HARMONY)),
        undertone_term(givens.among([one.undertone for one in judged], weights.WORST_SURFACE)),
        contrast,
        light,
        wishes,
    )
    return combine(undrawn.role, counted, terms)


def drawn_clashes(undrawn: Undrawn, judged: Sequence[Judged], givens: Givens) -> FloatArray:
    """(M, ...), 0..1: how badly each paint clashes in its role, at its worst surface."""
    worst = reduce(np.maximum, (one.clash for one in judged))
    if weights.EXPECTATIONS[undrawn.role].separation:
        for one, seen in zip(judged, givens.surface_seen.tolist(), strict=True):
            worst = np.maximum(worst, merge_severity(one.step) * seen)
    return worst
