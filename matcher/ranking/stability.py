"""How sure is a place in the list, and a clash, given what the measurement of the surfaces leaves open."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.harmony.ou_luo import relative_harmony
from matcher.harmony.tint import Tint, tint
from matcher.ranking import weights
from matcher.ranking.givens import Givens
from matcher.ranking.pairs import accord

FloatArray = NDArray[np.floating[Any]]


@dataclass(frozen=True, slots=True, eq=False)
class Drawn:
    """The surfaces as they might truly be: ``lab`` (draws, K, 3) in single precision, and its ``tint``."""

    lab: FloatArray
    tint: Tint


def draw_surfaces(givens: Givens, draws: int, seed: int) -> Drawn:
    """Draw colours as they might truly be: one error a surface and draw, shaped by each colour's covariance.

    The colours of one surface share card, light and camera, so their errors go together.
    """
    normal = np.random.default_rng(seed).standard_normal((draws, len(givens.surfaces), 3))
    values, vectors = np.linalg.eigh(givens.covariance)
    root = vectors * np.sqrt(np.maximum(values, 0))[:, None, :]
    lab = (givens.lab + np.einsum("kij,dkj->dki", root, normal[:, givens.surface])).astype(np.float32)
    return Drawn(lab, tint(lab))


def drawn_raw(lab: FloatArray, drawn: Drawn, givens: Givens) -> tuple[FloatArray, FloatArray]:
    """Undertone and relative harmony of the drawn rooms, (M, draws) each, for M paints."""
    paints = lab.astype(np.float32)[:, None, None, :]
    total = accord(tint(paints), drawn.tint).total
    undertone = givens.over_surfaces(givens.over_colours(total, weights.WORST_COLOUR), weights.WORST_SURFACE)
    pair = relative_harmony(paints, drawn.lab, hue_liking_share=weights.HUE_LIKING_SHARE)
    harmony = givens.over_surfaces(givens.over_colours(pair, weights.WORST_HARMONY), weights.WORST_HARMONY)
    return undertone, harmony


def staying(scores: FloatArray, top: int) -> FloatArray:
    """(M,): share of the draws in which each of M candidates (M, draws) is among the best ``top``."""
    if top >= len(scores):
        return np.ones(len(scores))
    places = np.argsort(np.argsort(-scores, axis=0, kind="stable"), axis=0, kind="stable")
    return np.asarray((places < top).mean(axis=1))
