"""The light across a chart of 24 patches: a gentle slope fitted together with the tone curve, and whether an edge of
shadow lies on it.

What a curve does to a patch depends on its level, what the light does on its place; with 24 patches the two come apart.
A slope over the whole chart is taken out. An edge is what no slope and no curve explain: of all straight borders
between the patches the one that explains most, if it explains most of what is left.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from matcher.calibration.curve_prior import NOT_PLAIN, beliefs, mixed
from matcher.calibration.patch import LEVELS, Patch
from matcher.calibration.tone_curve import known_curve, linear_table, moved_strengths
from matcher.colorimetry.spaces import Floats
from matcher.photo.decoded import ColourSpace

FEWEST = 12
"""So many patches a slope, a curve and a border are told by at the least (assumption)."""

_ROUNDS, _EDGE_ROUNDS = 6, 3
_STEP, _LONGEST_STEP = 1e-3, 0.5
_OUTLIER = 2.0  # robust sigmas from which a patch counts for less
_LEAST_SIGMA = 5e-3
_DARKEST = 0.02  # of the level of the rest
_ANGLES, _FEWEST_BEHIND = 12, 4
_FREE = 4  # an edge, a level and a slope: the curve is held by what is known of it
# An edge stands this many of its sigmas out and explains this part of the squares that are left. On 23 photographs of
# charts in light without a border edges come to 4.5 sigmas and 0.6; on drawn charts with a shadow that takes 30 to 70 %
# of the light across them to 8 to 14 and 0.8 to 0.95, less where the border runs along the columns.
_EDGE_SIGMAS, _EDGE_EXPLAINS = 4.8, 0.55


@dataclass(frozen=True, slots=True, eq=False)
class ChartLight:
    """``slope`` (2,) of the logarithm of light per full-size pixel with one-sigma ``slope_sd``; ``edge`` the logarithm
    by which the light differs to either side of a border, 0 where there is none; ``rest`` one-sigma of what is left of
    the patches' levels.
    """

    slope: Floats
    slope_sd: float
    edge: float
    rest: float


def light_across(members: Sequence[Patch], space: ColourSpace) -> ChartLight:
    """Return the light across usable patches of one chart (at least :data:`FEWEST`)."""
    centres = np.stack([p.centre for p in members])
    extent = float(centres.std())
    places = (centres - centres.mean(axis=0)) / extent
    fit = _Fit(members, places, space)
    slope_sd = float(np.sqrt(np.trace(fit.covariance[1:3, 1:3]) / 2))
    return ChartLight(
        slope=fit.solution[1:3] / extent,
        slope_sd=slope_sd / extent,
        edge=_edge(fit, places),
        rest=float(fit.left.std()),
    )


class _Fit:
    """Least squares in a level, a slope and the strengths of the curve, which lean to what is known of curves.

    Levels are luminances through the linear map that makes most of the camera.
    """

    def __init__(self, members: Sequence[Patch], places: Floats, space: ColourSpace) -> None:
        self._members, self._space = members, space
        self._reflectance = np.array([p.reflectance for p in members])
        known = known_curve()
        believed, covariance = known.strength, known.covariance
        if not space.tone_known:
            believed, covariance = mixed(beliefs(NOT_PLAIN))
        precision = np.linalg.inv(covariance)
        strength, sigma = believed, 0.1
        weights: Floats = np.ones(len(members))
        for _ in range(_ROUNDS):
            self.levels, moved = self._levels(strength, weights)
            self.design = np.column_stack([np.ones(len(members)), places, -moved])
            self.ridge = np.zeros((self.design.shape[1], self.design.shape[1]))
            self.ridge[3:, 3:] = sigma**2 * precision
            self.lean = np.concatenate([np.zeros(3), sigma**2 * precision @ (believed - strength)])
            self.solution, normal = _solved(self.design, self.levels, weights, self.ridge, self.lean)
            self.left = self.levels - self.design @ self.solution
            sigma = _robust_sigma(self.left)
            weights = _robust_weights(self.left, sigma)
            strength = strength + np.clip(self.solution[3:], -_LONGEST_STEP, _LONGEST_STEP)
        self.covariance = sigma**2 * normal

    def _levels(self, strength: Floats, weights: Floats) -> tuple[Floats, Floats]:
        """Return (N,) logarithms of luminance over reflectance, and how they move with each strength (N, 5)."""
        tables = linear_table(moved_strengths(strength, _STEP), self._space, LEVELS)
        linear = np.stack([p.linear(tables) for p in self._members], axis=1)
        share = linear[0] / self._reflectance[:, None]
        luminance = np.linalg.lstsq(share * weights[:, None], weights, rcond=None)[0]
        levels = np.log(np.maximum(linear @ luminance / self._reflectance, _DARKEST))
        return levels[0], (levels[1:] - levels[0]).T / _STEP


def _edge(fit: _Fit, places: Floats) -> float:
    """Return the step in the logarithm of light across the border that stands out most, 0 where none does."""
    unexplained = float(fit.left @ fit.left)
    ridge = np.zeros((len(fit.ridge) + 1, len(fit.ridge) + 1))
    ridge[1:, 1:] = fit.ridge
    lean = np.concatenate([[0.0], fit.lean])
    most, edge = _EDGE_SIGMAS, 0.0
    for side in _sides(places):
        design = np.column_stack([side, fit.design])
        weights: Floats = np.ones(len(places))
        for _ in range(_EDGE_ROUNDS):
            solution, normal = _solved(design, fit.levels, weights, ridge, lean)
            left = fit.levels - design @ solution
            weights = _robust_weights(left, _robust_sigma(left))
        spread = np.sqrt((weights * left**2).sum() / (len(left) - _FREE))
        sigmas = abs(float(solution[0])) / (max(float(spread), _LEAST_SIGMA) * float(np.sqrt(normal[0, 0])))
        if sigmas > most and float(left @ left) < (1 - _EDGE_EXPLAINS) * unexplained:
            most, edge = sigmas, float(solution[0])
    return edge


def _solved(design: Floats, levels: Floats, weights: Floats, ridge: Floats, lean: Floats) -> tuple[Floats, Floats]:
    """Return the weighted least squares solution (P,) of ``levels`` (N,) in ``design`` (N, P), and the inverse (P, P)
    of its normal matrix; ``ridge`` (P, P) holds it by what was known before, which drew it towards ``lean`` (P,).
    """
    weighted = (design * weights[:, None]).T
    normal = np.linalg.inv(weighted @ design + ridge)
    return normal @ (weighted @ levels + lean), normal


def _sides(places: Floats) -> Iterator[Floats]:
    """Yield (N,) -0.5 and 0.5 for the patches to either side of a border, for every border worth trying."""
    for angle in np.linspace(0, np.pi, _ANGLES, endpoint=False):
        across = places @ [np.cos(angle), np.sin(angle)]
        ordered = np.sort(across)
        for behind in range(_FEWEST_BEHIND, len(across) - _FEWEST_BEHIND + 1):
            # Between patches that lie in one line along the border there is none.
            if ordered[behind - 1] < ordered[behind]:
                yield np.where(across >= ordered[behind], 0.5, -0.5)


def _robust_sigma(left: Floats) -> float:
    # 1.4826: median absolute deviation to sigma for normal noise.
    return 1.4826 * float(np.median(np.abs(left))) + _LEAST_SIGMA


def _robust_weights(left: Floats, sigma: float) -> Floats:
    return np.asarray(1 / np.maximum(1.0, np.abs(left) / (_OUTLIER * sigma)))
