"""What paints would score if the surfaces were truly as drawn: every term that a surface's colour enters, and clashes.

Surfaces are judged one at a time, so that drawing one of them anew does not judge the others again.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
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
    """M paints beside one surface in D drawn rooms, (M, D) each: agreement of undertones and relative harmony, how far
    the step in lightness reads as meant (0..1), and how badly the worst of its colours clashes (0..1).
    """

    undertone: FloatArray
    harmony: FloatArray
    step: FloatArray
    clash: FloatArray

    def take(self, draws: Any) -> Judged:
        """The same for some of the draws."""
        return Judged(self.undertone[:, draws], self.harmony[:, draws], self.step[:, draws], self.clash[:, draws])


@dataclass(frozen=True, slots=True, eq=False)
class Undrawn:
    """What of M paints in a role no draw moves: the terms at the measured colours, and ``apart`` (M,) from them."""

    role: str
    table: TermTable
    apart: FloatArray


def judge_surface(paints: Paints, givens: Givens, place: int, lab: FloatArray, mean: FloatArray) -> Judged:
    """Judge paints beside surface number ``place``: its colours ``lab`` (D, k, 3) and their ``mean`` (D, 3)."""
    columns = givens.columns(place)
    draws, colours, _ = lab.shape
    fixed = np.ascontiguousarray(lab.reshape(-1, 3), dtype=np.float32)
    lab32 = paints.lab.astype(np.float32)
    total = accord(paints.tint.at((slice(None), None)), tint(fixed)).total
    pair = relative_harmony(lab32[:, None], fixed, hue_liking_share=weights.HUE_LIKING_SHARE)
    by_colour = (len(lab32), draws, colours)
    total, pair = total.reshape(by_colour), pair.reshape(by_colour)
    ground = meant_step(lab32, np.ascontiguousarray(lab[:, 0], dtype=np.float32))
    return Judged(
        undertone=givens.within(place, total, weights.WORST_COLOUR),
        harmony=givens.within(place, pair, weights.WORST_HARMONY),
        step=np.minimum(ground, meant_step(lab32, np.ascontiguousarray(mean, dtype=np.float32))),
        clash=(clash_severity(total) * givens.seen[columns]).max(axis=-1),
    )


def drawn_scores(undrawn: Undrawn, judged: Sequence[Judged], givens: Givens) -> FloatArray:
    """(M, D) scores of a role; ``judged`` holds every surface, in the order of the givens."""
    table = undrawn.table
    undertone, harmony, step = (
        np.stack([getattr(one, name) for one in judged], axis=-1) for name in ("undertone", "harmony", "step")
    )
    share = weights.EXPECTATIONS[undrawn.role].separation
    apart = np.minimum(givens.over_surfaces(step, weights.WORST_SURFACE), 1.0)
    contrast = (table.contrast / (1 - share + share * undrawn.apart))[:, None] * (1 - share + share * apart)
    terms = (
        harmony_term(givens.over_surfaces(harmony, weights.WORST_HARMONY)),
        undertone_term(givens.over_surfaces(undertone, weights.WORST_SURFACE)),
        contrast,
        table.light[:, None],
        table.wishes[:, None],
    )
    return combine(undrawn.role, table.fit[:, None], terms)


def drawn_clashes(undrawn: Undrawn, judged: Sequence[Judged], givens: Givens) -> FloatArray:
    """(M, D), 0..1: how badly each paint clashes in its role, at its worst surface."""
    worst: FloatArray = np.max([one.clash for one in judged], axis=0)
    if weights.EXPECTATIONS[undrawn.role].separation:
        merges = [
            merge_severity(one.step) * seen for one, seen in zip(judged, givens.surface_seen.tolist(), strict=True)
        ]
        worst = np.maximum(worst, np.max(merges, axis=0))
    return worst
