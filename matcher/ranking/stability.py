"""How sure is a place in the list, and a clash, given what the measurement of the surfaces leaves open."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.colorimetry.symmetric_root import symmetric_root
from matcher.ranking.givens import Givens
from matcher.ranking.spread import within_lightness

FloatArray = NDArray[np.floating[Any]]
# Share of the draws in which the better of two has to lead for a list to put it ahead: the one-sided 95 % of a 90 %
# interval. Assumption.
_LEADS = 0.95


@dataclass(frozen=True, slots=True, eq=False)
class Drawn:
    """The surfaces as they might truly be: ``lab`` (draws, K, 3) in single precision, and the mean of each surface,
    ``surface_lab`` (draws, S, 3).
    """

    lab: FloatArray
    surface_lab: FloatArray


# Every role and the scheme ask for the same draws.
@lru_cache(maxsize=2)
def draw_surfaces(givens: Givens, draws: int, seed: int) -> Drawn:
    """Draw colours as they might truly be: one error a surface and draw, shaped by each colour's covariance.

    The colours of one surface share card, light and camera, so their errors go together.
    """
    normal = np.random.default_rng(seed).standard_normal((draws, len(givens.surfaces), 3))
    moved = np.einsum("kij,dkj->dki", symmetric_root(givens.covariance), normal[:, givens.surface])
    lab = within_lightness(givens.lab + moved)
    mean = np.add.reduceat(moved * givens.share[:, None], givens.starts, axis=1)
    drawn = Drawn(lab, within_lightness(givens.surface_lab + mean))
    drawn.lab.flags.writeable = drawn.surface_lab.flags.writeable = False
    return drawn


def staying(scores: FloatArray, top: int) -> FloatArray:
    """(M,): share of the draws in which each of M candidates (M, draws) is among the best ``top``."""
    if top >= len(scores):
        return np.ones(len(scores))
    places = np.argsort(np.argsort(-scores, axis=0, kind="stable"), axis=0)
    return np.asarray((places < top).mean(axis=1))


def leading(scores: FloatArray) -> NDArray[np.bool_]:
    """(M, M): whether one candidate (rows) is better than another in nearly every draw of ``scores`` (M, draws)."""
    # A row at a time: all at once is a deck times a deck times the draws where the whole list is asked for.
    ahead = [(own > scores).mean(axis=-1) >= _LEADS for own in scores]
    return np.array(ahead, dtype=bool).reshape(len(scores), len(scores))


def tied(scores: FloatArray) -> list[int]:
    """For each of n candidates, best first, with scores (n, draws): the place of the first one of its group.

    A candidate is of the same group as the first of it while that one does not lead in nearly every draw.
    """
    first = 0
    groups = []
    surely = leading(scores)
    for place in range(len(scores)):
        if surely[first, place]:
            first = place
        groups.append(first)
    return groups
