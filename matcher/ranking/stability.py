"""How sure is a place in the list, and a clash, given what the measurement of the surfaces leaves open."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.harmony.ou_luo import relative_harmony
from matcher.harmony.tint import tint
from matcher.ranking import weights
from matcher.ranking.blocks import blocks
from matcher.ranking.givens import Givens
from matcher.ranking.pairs import accord

FloatArray = NDArray[np.floating[Any]]


def draw_surfaces(givens: Givens, draws: int, seed: int) -> FloatArray:
    """(draws, K, 3) colours as they might truly be: one error a surface and draw, shaped by each colour's covariance.

    The colours of one surface share card, light and camera, so their errors go together.
    """
    normal = np.random.default_rng(seed).standard_normal((draws, len(givens.surfaces), 3))
    values, vectors = np.linalg.eigh(givens.covariance)
    root = vectors * np.sqrt(np.maximum(values, 0))[:, None, :]
    return np.asarray(givens.lab + np.einsum("kij,dkj->dki", root, normal[:, givens.surface]))


def drawn_raw(lab: FloatArray, drawn: FloatArray, givens: Givens) -> tuple[FloatArray, FloatArray]:
    """Undertone and relative harmony, (M, draws) each, of M paints in rooms of drawn surfaces (draws, K, 3)."""
    paints, fixed = lab.astype(np.float32)[:, None, None, :], drawn.astype(np.float32)
    fixed_tint = tint(fixed)
    undertone, harmony = [], []
    for rows in blocks(len(paints), fixed_tint.gate.size):
        total = accord(tint(paints[rows]), fixed_tint).total
        undertone.append(givens.over_surfaces(givens.over_colours(total, weights.WORST_COLOUR), weights.WORST_SURFACE))
        pair = relative_harmony(paints[rows], fixed, hue_liking_share=weights.HUE_LIKING_SHARE)
        harmony.append(givens.over_surfaces(givens.over_colours(pair, weights.WORST_HARMONY), weights.WORST_HARMONY))
    return np.concatenate(undertone), np.concatenate(harmony)


def staying(scores: FloatArray, top: int) -> FloatArray:
    """(M,): share of the draws in which each of M candidates (M, draws) is among the best ``top``."""
    if top >= len(scores):
        return np.ones(len(scores))
    places = np.argsort(np.argsort(-scores, axis=0, kind="stable"), axis=0, kind="stable")
    return np.asarray((places < top).mean(axis=1))
