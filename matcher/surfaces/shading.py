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

from matcher.colorimetry.adaptation import FROM_BRADFORD, WHITE_CONES
from matcher.colorimetry.spaces import Floats, xyz_to_lab
from matcher.surfaces.robust import middle

if TYPE_CHECKING:
    from matcher.surfaces.grouping import Group

_GROUPS = 6
_SAMPLES = 2000
_A_FEW = 100  # pixels whose rim is found at once
# Assumptions: ridge widths of the field's terms over the region's own extent (logarithm of light): lightness may fall
# off strongly and bend; its colour drifts less and straight.
_LINEAR_SD, _BEND_SD, _DRIFT_SD = 0.8, 0.3, 0.12
_FREE_SD = 3.0  # a group's own colour: as good as free
_START_VARIANCE = 0.02
_REWEIGHTED = 2
_GREY_CONES = 0.3 * WHITE_CONES


@dataclass(frozen=True, slots=True, eq=False)
class Shading:
    """The field: ``level`` (5,) weights of x, y, xx, xy, yy for lightness and their ``covariance`` (5, 5); ``drift``
    (2, 2) of x, y for the other two cones; positions count from ``centre`` (2,) in units of ``extent``. ``seen`` (N, 2)
    are those of the pixels it was fitted to: beyond the smallest convex shape around them it is not to be asked for.
    """

    centre: Floats
    extent: float
    level: Floats
    drift: Floats
    covariance: Floats
    seen: Floats

    def nearest_seen(self, place: Floats) -> Floats:
        """Return the place (2,) itself, or where the field was last seen on the way there.

        A field of second order follows light well where it was fitted; carried on it grows without end.
        """
        # A card in the midst of its surface lies within the rim of any hundred of the pixels.
        if _lies_within(_rim(self.seen[:: 1 + len(self.seen) // _A_FEW]), place):
            return place
        rim = _rim(self.seen)
        if _lies_within(rim, place):
            return place
        start = rim.astype(float)
        way = np.roll(start, -1, axis=0) - start
        along = np.clip(((place - start) * way).sum(axis=1) / np.maximum((way**2).sum(axis=1), 1e-9), 0, 1)
        nearest = start + along[:, None] * way
        found: Floats = nearest[int(np.linalg.norm(nearest - place, axis=1).argmin())]
        return found

    def at(self, positions: Floats) -> Floats:
        """Return (N, 3) logarithm of the light relative to the region's centre, per cone."""
        x, y = self._placed(positions)
        level = self._level(x, y)
        (along_x, along_y) = self.drift.tolist()
        columns = [level + along_x[0] * x + along_y[0] * y, level, level + along_x[1] * x + along_y[1] * y]
        # In columns: see matcher/colorimetry/spaces.py.
        return np.stack(columns).T

    def level_at(self, positions: Floats) -> Floats:
        """Return (N,) logarithm of the light's level relative to the region's centre."""
        return self._level(*self._placed(positions))

    def colour_drift(self, positions: Floats) -> float:
        """Return how far ln(first cone / third cone) of the light runs over (N, 2), the outermost 3 % at each end left
        out.
        """
        x, y = self._placed(positions[:: 1 + len(positions) // _SAMPLES])
        along_x, along_y = (self.drift[:, 0] - self.drift[:, 1]).tolist()
        low, high = np.percentile(along_x * x + along_y * y, (3, 97))
        return float(high - low)

    def _placed(self, positions: Floats) -> tuple[Floats, Floats]:
        x, y = np.ascontiguousarray(positions.T)
        left, top = self.centre.tolist()
        return (x - left) * (1 / self.extent), (y - top) * (1 / self.extent)

    def _level(self, x: Floats, y: Floats) -> Floats:
        along_x, along_y, xx, xy, yy = self.level.tolist()
        level: Floats = x * (along_x + xx * x + xy * y) + y * (along_y + yy * y)
        return level

    def level_sd(self, position: Floats) -> float:
        """Return one-sigma of the lightness field at a position (2,)."""
        terms = _terms(*((position - self.centre) / self.extent))
        return float(np.sqrt(max(float(terms @ self.covariance @ terms), 0.0)))


def _rim(positions: Floats) -> NDArray[np.float32]:
    """Return the corners (K, 2) of the smallest convex shape around (N, 2)."""
    return np.asarray(cv2.convexHull(positions.astype(np.float32))[:, 0], np.float32)


def _lies_within(rim: NDArray[np.float32], place: Floats) -> bool:
    return cv2.pointPolygonTest(rim, tuple(map(float, place)), False) >= 0


def _terms(x: Floats, y: Floats) -> Floats:
    return np.stack([x, y, x * x, x * y, y * y])


@dataclass(frozen=True, slots=True, eq=False)
class _Sample:
    """Some of the pixels: which (M,), their log cones ``y`` (3, M), and the field's ``terms`` (5, M) there."""

    chosen: NDArray[np.intp]
    y: Floats
    terms: Floats
    centre: Floats
    extent: float
    seen: Floats


def _sample(cones: Floats, positions: Floats, rng: np.random.Generator) -> _Sample:
    chosen = rng.permutation(len(cones))[:_SAMPLES]
    x, y = np.ascontiguousarray(positions.take(chosen, axis=0).T)
    centre = np.array([x.mean(), y.mean()])
    extent = float(max(np.ptp(x) / 2, np.ptp(y) / 2, 1.0))
    terms = _terms((x - centre[0]) / extent, (y - centre[1]) / extent)
    return _Sample(chosen, cones.T.take(chosen, axis=1), terms, centre, extent, positions)


def fit_shading(cones: Floats, positions: Floats, rng: np.random.Generator) -> Shading:
    """Fit the field to ``cones`` (N, 3), logarithms of cone responses, at ``positions`` (N, 2).

    First as if all were one material, then with one offset for each group of colour that this leaves.
    """
    sample = _sample(cones, positions, rng)
    first = _solve(sample, np.zeros(len(sample.chosen), np.intp))
    flat = sample.y.T - first.at(positions[sample.chosen])
    return _solve(sample, group_colours(_as_lab(flat - sample.y.mean(axis=1)), _GROUPS))


def refit_shading(cones: Floats, positions: Floats, groups: Sequence[Group], rng: np.random.Generator) -> Shading:
    """Fit the field to pixels whose ``groups`` are known."""
    label = np.zeros(len(cones), np.intp)
    for number, group in enumerate(groups):
        label[group.members] = number
    sample = _sample(cones, positions, rng)
    return _solve(sample, label[sample.chosen])


def _as_lab(relative: Floats) -> Floats:
    """Return Lab-like coordinates of logarithmic cones relative to the region's mean, which is set to mid grey."""
    return xyz_to_lab((np.exp(np.clip(relative, -6, 6)) * _GREY_CONES) @ FROM_BRADFORD.T)


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
    # A row a term: numpy is fast along long rows.
    design = np.concatenate([terms, groups == np.arange(count)[:, None]])
    ridge = np.concatenate([[_LINEAR_SD] * 2, [_BEND_SD] * 3, [_FREE_SD] * count]) ** -2.0
    light = y[1] - y[1].mean()
    weights = np.ones(len(light))
    solution = np.zeros(len(ridge))
    variance = _START_VARIANCE
    for _ in range(_REWEIGHTED):
        weighted = design * weights
        covariance = np.linalg.inv(weighted @ design.T / variance + np.diag(ridge))
        solution = covariance @ (weighted @ light) / variance
        residual = np.abs(light - solution @ design)
        scale = 1.4826 * float(middle(residual[::4])) + 1e-4
        variance = scale**2
        weights = 1 / np.maximum(1.0, residual / (2 * scale))
    pair = y[[0, 2]] - y[1]
    pair = (pair - pair.mean(axis=1)[:, None]).T
    straight = np.concatenate([design[:2], design[5:]])
    weighted = straight * weights
    spread = max(float(middle(np.abs(pair[::4] - middle(pair[::4])).ravel())), 1e-3) ** 2
    prior = np.diag(np.concatenate([[_DRIFT_SD] * 2, [_FREE_SD] * count]) ** -2.0)
    drift = np.linalg.solve(weighted @ straight.T / spread + prior, weighted @ pair / spread)[:2]
    return Shading(sample.centre, sample.extent, solution[:5], drift, covariance[:5, :5], sample.seen)
