"""How paints sit beside surfaces: one judge, whether the surfaces are as measured or as they might truly be.

Colours come with an axis of draws: one draw is the measured colours, many are drawn within their doubt. A surface can
be judged by itself, so that drawing one of them anew does not judge the others again. What is judged here does not
depend on the role. Single precision: a ranking needs three digits.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import reduce
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.harmony.agreement import LOWEST, agreement
from matcher.harmony.near_miss import cleanness_clash, near_miss_white
from matcher.harmony.ou_luo import relative_harmony
from matcher.harmony.ramp import smoothstep
from matcher.harmony.tint import Tint, tint
from matcher.ranking import weights
from matcher.ranking.givens import Givens
from matcher.ranking.paint_columns import Paints
from matcher.ranking.parts import in_parts

FloatArray = NDArray[np.floating[Any]]

# Numbers judged together: of fewer the steps between them take longer than they do themselves, and more are not kept in
# the processor's cache from step to step.
_AT_ONCE, _PAINTS_AT_ONCE = 1 << 18, 1 << 17


@dataclass(frozen=True, slots=True, eq=False)
class Accord:
    """Two tints beside each other, broadcast: ``agreement`` -0.75..0.6; ``near_miss`` and ``cleanness`` 0..1; ``total``
    what is left of the agreement after both.
    """

    agreement: FloatArray
    near_miss: FloatArray
    cleanness: FloatArray
    total: FloatArray


def accord(paint: Tint, fixed: Tint) -> Accord:
    """Judge tints beside each other (broadcast), lightness apart."""
    agreed = agreement(paint, fixed)
    missed = near_miss_white(paint, fixed)
    cleaner = cleanness_clash(paint, fixed)
    # One that shouts beside a muted kin is no kin of it.
    kin = np.maximum(agreed, 0) * cleaner
    total = agreed - kin - weights.NEAR_MISS_WHITE * missed - weights.CLEANNESS * cleaner
    return Accord(agreed, missed, cleaner, np.maximum(total, LOWEST))


@dataclass(frozen=True, slots=True, eq=False)
class Judged:
    """N paints beside one surface, (N, draws ...) each: agreement of undertones and relative harmony, how far the step
    in lightness reads as meant (0..1), and how badly the worst of its colours clashes (0..1).
    """

    undertone: FloatArray
    harmony: FloatArray
    step: FloatArray
    clash: FloatArray

    def shaped(self, *draws: int) -> Judged:
        """The same draws as (N, draws ...)."""
        return Judged(*(one.reshape(-1, *draws) for one in (self.undertone, self.harmony, self.step, self.clash)))

    def rows(self, kept: Any) -> Judged:
        """The same for some of the paints."""
        return Judged(self.undertone[kept], self.harmony[kept], self.step[kept], self.clash[kept])


def judge(paints: Paints, givens: Givens, lab: FloatArray, means: FloatArray) -> tuple[Judged, ...]:
    """Judge paints beside every surface: all colours ``lab`` (D, K, 3), and the surfaces' ``means`` (D, S, 3)."""
    places = range(len(givens.surfaces))
    if len(paints.lrv) * math.prod(lab.shape[:2]) > _AT_ONCE:
        return tuple(
            judge_surface(paints, givens, place, lab[:, givens.columns(place)], means[:, place]) for place in places
        )
    beside = _beside(paints, lab)
    return tuple(_judged(paints, givens, place, beside[givens.columns(place)], means[:, place]) for place in places)


def judge_measured(paints: Paints, givens: Givens) -> tuple[Judged, ...]:
    """Judge paints beside every surface as it was measured: (N, 1) each."""
    return in_parts(
        len(paints.lrv),
        lambda part: judge(paints.take(part), givens, givens.lab[None], givens.surface_lab[None]),
        max(1, _PAINTS_AT_ONCE // len(givens.lab)),
    )


def judge_surface(paints: Paints, givens: Givens, place: int, lab: FloatArray, mean: FloatArray) -> Judged:
    """Judge paints beside surface number ``place``: its colours ``lab`` (D, k, 3) and their ``mean`` (D, 3)."""
    return _judged(paints, givens, place, _beside(paints, lab), mean)


@dataclass(frozen=True, slots=True, eq=False)
class _Beside:
    """N paints beside one colour, drawn (D, 3): the agreement of undertones and the relative harmony, (N, D) each."""

    colour: FloatArray
    total: FloatArray
    harmony: FloatArray


def _beside(paints: Paints, lab: FloatArray) -> list[_Beside]:
    """Judge paints beside each of the colours ``lab`` (D, k, 3), whichever surface it is of."""
    # (k, N, D): one long row of paints where there is one draw, one of draws where there are many.
    drawn = np.ascontiguousarray(lab.swapaxes(0, 1), dtype=np.float32)[:, None]
    columns = np.ascontiguousarray(paints.lab, dtype=np.float32)
    totals = accord(paints.tint.at((None, slice(None), None)), tint(drawn)).total
    harmony = relative_harmony(columns[:, None], drawn, paints.liking[:, None])
    return [_Beside(*one) for one in zip(drawn[:, 0], totals, harmony, strict=True)]


def _judged(paints: Paints, givens: Givens, place: int, beside: Sequence[_Beside], mean: FloatArray) -> Judged:
    columns, means = (np.ascontiguousarray(each, dtype=np.float32) for each in (paints.lab, mean))
    seen = givens.seen[givens.columns(place)].tolist()
    return Judged(
        undertone=givens.within(place, [one.total for one in beside], weights.WORST_COLOUR),
        harmony=givens.within(place, [one.harmony for one in beside], weights.WORST_HARMONY),
        # From afar a surface is its mean, from close by its ground: the nearer of the two steps counts.
        step=np.minimum(meant_step(columns, beside[0].colour), meant_step(columns, means)),
        clash=reduce(np.maximum, (clash_severity(one.total) * share for one, share in zip(beside, seen, strict=True))),
    )


def meant_step(lab: FloatArray, fixed: FloatArray) -> FloatArray:
    """(N, F), 0..1: how far the step from each of (F, 3) fixed colours to each of (N, 3) paints reads as meant.

    A match counts too, a little less.
    """
    lightness, a, b = (np.ascontiguousarray(lab[:, axis])[:, None] - fixed[:, axis] for axis in range(3))
    # np.hypot guards against overflow, at several times the cost.
    chromatic, lightness = np.sqrt(a * a + b * b), np.abs(lightness)
    same = weights.MATCH_VALUE * smoothstep(lightness + chromatic, 2 * weights.SAME_COLOUR, weights.SAME_COLOUR)
    return np.asarray(np.maximum(smoothstep(lightness + 0.5 * chromatic, *weights.SEPARATION), same))


def clash_severity(total: FloatArray) -> FloatArray:
    """0..1 by the agreement of two undertones, however little of the colour there is."""
    return np.asarray(np.clip((weights.CLASH_FROM - total) / (weights.CLASH_FROM - weights.CLASH_FULL), 0, 1))


def merge_severity(step: FloatArray) -> FloatArray:
    """0..1 by how far a step in lightness reads as meant, however little of the surface is seen."""
    return np.asarray(np.where(step < weights.MERGES_BELOW, weights.MERGE_SEVERITY * (1 - step), 0.0))


def worst_clash(role: str, judged: Sequence[Judged], givens: Givens) -> FloatArray:
    """(N, ...), 0..1: how badly each paint clashes in its role, at its worst surface."""
    return worth_a_line(reduce(np.maximum, clashes_beside(role, judged, givens)))


def clashes_beside(role: str, judged: Sequence[Judged], givens: Givens) -> Iterator[FloatArray]:
    """For each surface (N, ...), 0..1: how badly each paint clashes with it in its role, however little that is."""
    merges = weights.EXPECTATIONS[role].separation > 0
    for one, seen in zip(judged, givens.surface_seen.tolist(), strict=True):
        yield np.maximum(one.clash, merge_severity(one.step) * seen) if merges else one.clash


def worth_a_line(severity: FloatArray) -> FloatArray:
    """The same severities, with nought for those too small to be told."""
    return np.where(severity >= weights.LEAST_SEVERITY, severity, severity.dtype.type(0))
