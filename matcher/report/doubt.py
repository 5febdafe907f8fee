"""How sure a measured colour is, as single numbers a reader can use."""

from __future__ import annotations

import numpy as np

from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.spaces import Floats

# Two-sided 90 % of a normal distribution, in standard deviations.
NINETY_PERCENT = 1.645


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
