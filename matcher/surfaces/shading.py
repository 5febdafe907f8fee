"""How light falls across a surface: a smooth field, told apart from the pattern of the material.

The logarithm of a pixel is the logarithm of its material's colour plus a low-order field of position. Materials are
few and jump; the field is smooth: grouping pixels by colour and fitting the field with one free offset a group
separates them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import cv2
import numpy as np
from numpy.typing import NDArray

from matcher.colorimetry.adaptation import BRADFORD
from matcher.colorimetry.spaces import WHITE_D65, Floats, xyz_to_lab
from matcher.surfaces.robust import middle

if TYPE_CHECKING:
    from matcher.surfaces.grouping import Group

_GROUPS = 6
_SAMPLES = 2000
# Assumptions: ridge widths of the field's terms over the region's own extent (logarithm of light): lightness may fall
# off strongly and bend; its colour drifts less and straight.
_LINEAR_SD, _BEND_SD, _DRIFT_SD = 0.8, 0.3, 0.12
_FREE_SD = 3.0  # a group's own colour: as good as free
_START_VARIANCE = 0.02
_REWEIGHTED = 2


@dataclass(frozen=True, slots=True, eq=False)
class Shading:
    """The field: ``level`` (5,) weights of x, y, xx, xy, yy for lightness and their ``covariance`` (5, 5); ``drift``
    (2, 2) of x, y for the other two cones; positions count from ``centre`` (2,) in units of ``extent``.
    """

    centre: Floats
    extent: float
    level: Floats
    drift: Floats
    covariance: Floats

    def at(self, positions: Floats) -> Floats:
        """Return (N, 3) logarithm of the light relative to the region's centre, per cone."""
        terms = _terms(((positions - self.centre) / self.extent).astype(positions.dtype))
        level = terms @ self.level.astype(terms.dtype)
        drift = terms[:, :2] @ self.drift.astype(terms.dtype)
        return np.stack([level + drift[:, 0], level, level + drift[:, 1]], axis=1)

    def level_sd(self, position: Floats) -> float:
        """Return one-sigma of the lightness field at a position (2,)."""
        terms = _terms(((position - self.centre) / self.extent)[None])[0]
        return float(np.sqrt(max(terms @ self.covariance @ terms, 0.0)))


def _terms(p: Floats) -> Floats:
    x, y = p[:, 0], p[:, 1]
    return np.stack([x, y, x * x, x * y, y * y], axis=1)


@dataclass(frozen=True, slots=True, eq=False)
class _Sample:
    """Some of the pixels: which (M,), their log cones ``y`` (M, 3), and the field's ``terms`` (M, 5) there."""

    chosen: NDArray[np.intp]
    y: Floats
    terms: Floats
    centre: Floats
    extent: float


def _sample(cones: Floats, positions: Floats, rng: np.random.Generator) -> _Sample:
    chosen = rng.permutation(len(cones))[:_SAMPLES]
    p = positions[chosen]
    centre = p.mean(axis=0)
    extent = float(max(np.ptp(p, axis=0).max() / 2, 1.0))
    return _Sample(chosen, cones[chosen], _terms((p - centre) / extent), centre, extent)


def fit_shading(cones: Floats, positions: Floats, rng: np.random.Generator) -> Shading:
    """Fit the field to ``cones`` (N, 3), logarithms of cone responses, at ``positions`` (N, 2).

    First as if all were one material, then with one offset for each group of colour that this leaves.
    """
    sample = _sample(cones, positions, rng)
    first = _solve(sample, np.zeros(len(sample.y), np.intp))
    flat = sample.y - first.at(positions[sample.chosen])
    return _solve(sample, group_colours(_as_lab(flat - sample.y.mean(axis=0)), _GROUPS))


def refit_shading(cones: Floats, positions: Floats, groups: Sequence[Group], rng: np.random.Generator) -> Shading:
    """Fit the field to pixels whose ``groups`` are known."""
    label = np.zeros(len(cones), np.intp)
    for number, group in enumerate(groups):
        label[group.members] = number
    sample = _sample(cones, positions, rng)
    return _solve(sample, label[sample.chosen])


def _as_lab(relative: Floats) -> Floats:
    """Return Lab-like coordinates of logarithmic cones relative to the region's mean, which is set to mid grey."""
    cones = np.exp(np.clip(relative, -6, 6)) * 0.3 * (BRADFORD @ WHITE_D65)
    return xyz_to_lab(cones @ np.linalg.inv(BRADFORD).T)


def group_colours(lab: Floats, count: int) -> NDArray[np.intp]:
    """Split colours (N, 3) into at most ``count`` groups by k-means; returns labels (N,)."""
    count = min(count, len(lab))
    cv2.setRNGSeed(1)
    stop = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_MAX_ITER, 12, 0.2)
    start = np.zeros((len(lab), 1), np.int32)
    _, labels, _ = cv2.kmeans(lab.astype(np.float32), count, start, stop, 1, cv2.KMEANS_PP_CENTERS)
    return np.asarray(labels)[:, 0].astype(np.intp)


def _solve(sample: _Sample, groups: NDArray[np.intp]) -> Shading:
    """Fit the field with one free offset a group (M,), by reweighted ridge regression."""
    y, terms = sample.y, sample.terms
    count = int(groups.max()) + 1
    design = np.concatenate([terms, np.eye(count)[groups]], axis=1)
    ridge = np.concatenate([[_LINEAR_SD] * 2, [_BEND_SD] * 3, [_FREE_SD] * count]) ** -2.0
    light = y[:, 1] - y[:, 1].mean()
    weights = np.ones(len(y))
    solution = np.zeros(len(ridge))
    variance = _START_VARIANCE
    for _ in range(_REWEIGHTED):
        weighted = design * weights[:, None]
        covariance = np.linalg.inv(weighted.T @ design / variance + np.diag(ridge))
        solution = covariance @ (weighted.T @ light) / variance
        residual = light - design @ solution
        scale = 1.4826 * float(middle(np.abs(residual[::4]))) + 1e-4
        variance = scale**2
        weights = 1 / np.maximum(1.0, np.abs(residual) / (2 * scale))
    pair = y[:, [0, 2]] - y[:, 1:2]
    pair = pair - pair.mean(axis=0)
    straight = np.concatenate([terms[:, :2], design[:, 5:]], axis=1)
    weighted = straight * weights[:, None]
    spread = max(float(middle(np.abs(pair[::4] - middle(pair[::4])).ravel())), 1e-3) ** 2
    prior = np.diag(np.concatenate([[_DRIFT_SD] * 2, [_FREE_SD] * count]) ** -2.0)
    drift = np.linalg.solve(weighted.T @ straight / spread + prior, weighted.T @ pair / spread)[:2]
    return Shading(sample.centre, sample.extent, solution[:5], drift, covariance[:5, :5])
