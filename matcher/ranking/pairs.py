"""Every paint against every fixed colour.

Agreement, near misses, harmony. Independent of the role, so computed once a room.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.harmony.agreement import LOWEST, agreement
from matcher.harmony.near_miss import cleanness_clash, near_miss_white
from matcher.harmony.ou_luo import relative_harmony
from matcher.harmony.ramp import smoothstep
from matcher.harmony.tint import Tint
from matcher.ranking import weights
from matcher.ranking.givens import Givens

FloatArray = NDArray[np.floating[Any]]


@dataclass(frozen=True, slots=True, eq=False)
class Accord:
    """Broadcast arrays.

    ``agreement`` -0.75..0.6; ``near_miss`` and ``cleanness`` 0..1; ``total`` what is left after both.
    """

    agreement: FloatArray
    near_miss: FloatArray
    cleanness: FloatArray
    total: FloatArray

    def take(self, rows: NDArray[np.intp]) -> Accord:
        """The same columns for some rows."""
        return Accord(self.agreement[rows], self.near_miss[rows], self.cleanness[rows], self.total[rows])

    def turned(self) -> Accord:
        """The same tables with rows and columns exchanged."""
        return Accord(self.agreement.T, self.near_miss.T, self.cleanness.T, self.total.T)


def accord(paint: Tint, fixed: Tint) -> Accord:
    """Judge tints against each other (broadcast), lightness apart."""
    agreed = agreement(paint, fixed)
    missed = near_miss_white(paint, fixed)
    cleaner = cleanness_clash(paint, fixed)
    total = agreed - weights.NEAR_MISS_WHITE * missed - weights.CLEANNESS * cleaner
    return Accord(agreed, missed, cleaner, np.maximum(total, LOWEST))


@dataclass(frozen=True, slots=True, eq=False)
class Pairs:
    """``tint`` (N, 1); ``accord`` (N, K), and ``undertone`` (N,) of its total; ``harmony`` (N,) relative harmony;
    ``separation`` (N, S), 0..1, how far the step from each surface reads as meant, and ``apart`` (N,) from all.
    """

    tint: Tint
    accord: Accord
    undertone: FloatArray
    harmony: FloatArray
    separation: FloatArray
    apart: FloatArray

    def take(self, rows: NDArray[np.intp]) -> Pairs:
        """The same columns for some rows."""
        columns = (self.undertone[rows], self.harmony[rows], self.separation[rows], self.apart[rows])
        return Pairs(self.tint.at(rows), self.accord.take(rows), *columns)


def judge_pairs(lab: FloatArray, paint_tint: Tint, givens: Givens) -> Pairs:
    """All paints, (N, 3) and their tints (N,), against all fixed colours, in single precision (a ranking needs three
    digits).
    """
    # Worked out as (K, N) and turned: numpy is fast along long rows.
    paints, fixed = lab.astype(np.float32), givens.lab.astype(np.float32)[:, None, :]
    judged = accord(paint_tint, givens.tint.at((slice(None), None))).turned()
    by_surface = givens.over_colours(judged.total.astype(np.float32), weights.WORST_COLOUR)
    harmony = relative_harmony(paints, fixed, hue_liking_share=weights.HUE_LIKING_SHARE).T
    harmony_by_surface = givens.over_colours(harmony.astype(np.float32), weights.WORST_HARMONY)
    steps = separation(paints, givens)
    return Pairs(
        tint=paint_tint.at((slice(None), None)),
        accord=judged,
        undertone=givens.over_surfaces(by_surface, weights.WORST_SURFACE),
        harmony=givens.over_surfaces(harmony_by_surface, weights.WORST_HARMONY),
        separation=steps,
        # Single-precision weights may sum to a hair above one.
        apart=np.minimum(givens.over_surfaces(steps, weights.WORST_SURFACE), 1.0),
    )


def separation(lab: FloatArray, givens: Givens) -> FloatArray:
    """(N, S), 0..1: a step from the surface that reads as meant; a match counts too, a little less.

    The nearer counts of the area mean (the surface from afar) and the main colour (its ground, from close by).
    """
    mean, ground = givens.surface_lab.astype(lab.dtype), givens.lab[givens.starts].astype(lab.dtype)
    return np.asarray(np.minimum(meant_step(lab, mean), meant_step(lab, ground)))


def meant_step(lab: FloatArray, fixed: FloatArray) -> FloatArray:
    """(N, F), 0..1: how far the step from each of (F, 3) fixed colours to each of (N, 3) paints reads as meant."""
    lightness, a, b = (np.ascontiguousarray(lab[:, axis]) - fixed[:, axis, None] for axis in range(3))
    # np.hypot guards against overflow, at several times the cost.
    chromatic, lightness = np.sqrt(a * a + b * b), np.abs(lightness)
    same = weights.MATCH_VALUE * smoothstep(lightness + chromatic, 2 * weights.SAME_COLOUR, weights.SAME_COLOUR)
    return np.asarray(np.maximum(smoothstep(lightness + 0.5 * chromatic, *weights.SEPARATION), same).T)
