"""How sure a measured colour is, as single numbers a reader can use."""

from __future__ import annotations

import numpy as np

from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.spaces import Floats, labs_to_hex
from matcher.surfaces.doubt import NINETY_PERCENT as NINETY_PERCENT

# What NINETY_PERCENT is for one normal distribution, for three together: chi-squared of 3 degrees of freedom
# (NIST/SEMATECH e-Handbook 1.3.6.7.4).
_NINETY_PERCENT_3D = 6.251


def lrv_sd(lab: Floats, covariance: Floats) -> float:
    """Return the standard deviation of LRV, points, from ``covariance`` (3, 3) of ``lab`` (3,).

    First order: dY/dL* = 3/116 ((L* + 16)/116)^2 of Y 0..100 (CIE 015:2018).
    """
    slope = 300 / 116 * ((float(lab[0]) + 16) / 116) ** 2
    return float(slope * np.sqrt(max(float(covariance[0, 0]), 0.0)))


def de00_sd(lab: Floats, covariance: Floats) -> Floats:
    """Return the root mean square dE00 between the reading and the true colour, (...).

    ``lab`` is (..., 3), ``covariance`` (..., 3, 3).

    Each principal axis of the covariance is stepped both ways by one standard deviation; the squares add.
    """
    variances, axes = np.linalg.eigh(np.asarray(covariance, dtype=float))
    steps = (axes * np.sqrt(np.maximum(variances, 0))[..., None, :]).swapaxes(-1, -2)
    reading = np.asarray(lab, dtype=float)[..., None, :]
    both = np.concatenate([reading + steps, reading - steps], axis=-2)
    return np.asarray(np.sqrt(np.sum(delta_e_2000(reading, both) ** 2, axis=-1) / 2))


def spread_hexes(lab: Floats, covariance: Floats) -> list[list[str]]:
    """Return for each of (K, 3) colours six at the edge of its 90 % region as sRGB, from dark to light.

    They lie where the axes of the region (K, 3, 3) come to its surface, on both sides.
    """
    variances, axes = np.linalg.eigh(np.asarray(covariance, dtype=float))
    reach = np.sqrt(_NINETY_PERCENT_3D * np.maximum(variances, 0))
    steps = (axes * reach[:, None, :]).swapaxes(-1, -2)
    edge = np.concatenate([lab[:, None] - steps, lab[:, None] + steps], axis=1)
    edge[..., 0] = edge[..., 0].clip(0, 100)
    order = np.argsort(edge[..., 0], axis=1, kind="stable")
    sorted_edge = np.take_along_axis(edge, order[..., None], axis=1)
    hexes = labs_to_hex(sorted_edge.reshape(-1, 3))
    return [hexes[start : start + 6] for start in range(0, len(hexes), 6)]
