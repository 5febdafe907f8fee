"""The smoothest reflectance curve of a colour of which only CIELAB is known.

LHTSS, "least hyperbolic tangent slope squared": the smoothest curve, in z with R = (tanh z + 1) / 2, that has the given
tristimulus values. Burns 2020, "Numerical methods for smoothest reflectance reconstruction" (doi 10.1002/col.22437),
solved for all colours at once by Newton's method. It takes nothing from any measured surface and reaches nearly every
colour that a surface can have.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from matcher.colorimetry.illuminants import tristimulus_weights
from matcher.colorimetry.spaces import Floats, lab_to_xyz

_MAX_STEPS = 25
# XYZ, Y = 1: a hundredth of the rounding of CIELAB to two decimals.
TOLERANCE = 1e-7
# Longest change of z in one step; longer ones overshoot where tanh is flat.
MAX_CHANGE = 2.0
# Beyond this R is within 1e-8 of 0 or 1 and the equations lose their hold on z.
MAX_Z = 9.0
# Keeps the equations solvable on the way to colours that cannot be reached; a tenth of TOLERANCE in effect.
_RIDGE = 1e-12


def smoothest(lab: Floats) -> tuple[Floats, NDArray[np.bool_]]:
    """Return the curves (N, 36) of CIELAB D65/2 (N, 3), L* between 0 and 100, and whether each was reached (N,).

    Burns 2020, eq. 9 and 10.
    """
    weights = tristimulus_weights("D65")
    samples = len(weights)
    # The weights' own white, which differs from the tabulated one in the fourth digit, makes white R = 1 exactly.
    target = lab_to_xyz(lab, white=weights.sum(axis=0))
    stiffness = _second_difference(samples)
    z = np.repeat(np.arctanh(2 * target[:, 1:2] - 1), samples, axis=1)
    multipliers = np.zeros((len(lab), 3))
    system = np.zeros((len(lab), samples + 3, samples + 3))
    system[:, range(samples, samples + 3), range(samples, samples + 3)] = -_RIDGE
    diagonal = np.arange(samples)
    for _ in range(_MAX_STEPS):
        tanh = np.tanh(z)
        slope = (1 - tanh**2) / 2
        pull = multipliers @ weights.T
        off = (tanh + 1) / 2 @ weights - target
        gradient = z @ stiffness + slope * pull
        reached = np.abs(off).max(axis=1) < TOLERANCE
        if reached.all():
            break
        constraint = slope[:, :, None] * weights
        system[:, :samples, :samples] = stiffness
        system[:, diagonal, diagonal] -= 2 * slope * tanh * pull
        system[:, :samples, samples:] = constraint
        system[:, samples:, :samples] = constraint.transpose(0, 2, 1)
        right = -np.concatenate([gradient, off], axis=1)
        step = np.linalg.solve(system, right[:, :, None])[:, :, 0]
        scale = np.minimum(1, MAX_CHANGE / np.maximum(np.abs(step[:, :samples]).max(axis=1), 1e-12))[:, None]
        z = np.clip(z + scale * step[:, :samples], -MAX_Z, MAX_Z)
        multipliers += scale * step[:, samples:]
    return (np.tanh(z) + 1) / 2, reached


def _second_difference(samples: int) -> Floats:
    """Return the Hessian of the sum of squared steps, free at both ends."""
    matrix = 4 * np.eye(samples) - 2 * np.eye(samples, k=1) - 2 * np.eye(samples, k=-1)
    matrix[0, 0] = matrix[-1, -1] = 2
    return matrix
