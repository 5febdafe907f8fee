"""A reflectance curve for a colour of which only CIELAB is known, and the colour's look under another lamp.

Of all curves that have the colour's tristimulus values under D65 the likeliest is taken, as measured surfaces go
(matcher/colorimetry/usual_shape.py); where it cannot be had, at the edge of what a surface can be, the smoothest
(matcher/colorimetry/smoothest.py). It cannot foresee the metamerism of particular pigments; what it is worth under
lamps ``python -m tests.benchmarks.recovery`` prints.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from matcher.colorimetry.adaptation import CAT16, adapt
from matcher.colorimetry.illuminants import tristimulus_weights, wavelengths
from matcher.colorimetry.smoothest import MAX_CHANGE, MAX_Z, TOLERANCE, smoothest
from matcher.colorimetry.spaces import WHITE_D65, Floats, as_floats, lab_to_xyz, xyz_to_lab
from matcher.colorimetry.usual_shape import expected_shape, shape_covariance

# Lightness held inside what tanh reaches: at 0 and 100 z would be infinite.
_LIGHTNESS_RANGE = (0.01, 99.99)
# Most colours are there after six steps; the few at the edge of what a surface can be that take longer get the
# smoothest curve.
_MAX_STEPS = 30
# A colour no surface can have keeps lightness and hue and gives up this share of its chroma at a time.
_CHROMA_SHRINK = 0.93
_MAX_SHRINKS = 80
# Colours worked on together: what they take meanwhile stays in the processor's cache, however many there are.
_AT_ONCE = 4096


def recover_reflectance(lab: ArrayLike) -> Floats:
    """Return reflectance, (N, 36) at :func:`illuminants.wavelengths`, inside 0..1, of CIELAB ``(N, 3)``.

    Exact under D65 for every colour that a surface can have (the object-colour solid, less its outermost edge); one
    outside gets the curve of a colour of its lightness and hue and less chroma. A row that is not finite gives nan.
    """
    wanted = np.array(as_floats(lab), dtype=np.float64)
    wanted[:, 0] = np.clip(wanted[:, 0], *_LIGHTNESS_RANGE)
    reflectance = np.full((len(wanted), len(wavelengths())), np.nan)
    for start in range(0, len(wanted), _AT_ONCE):
        _recover(wanted[start : start + _AT_ONCE], reflectance[start : start + _AT_ONCE])
    return reflectance


def _recover(wanted: Floats, reflectance: Floats) -> None:
    """Fill in the curves that there are."""
    todo = np.flatnonzero(np.isfinite(wanted).all(axis=1))
    curves, reached = _likeliest(wanted[todo])
    reflectance[todo[reached]] = curves[reached]
    todo = todo[~reached]
    for _ in range(_MAX_SHRINKS):
        if not len(todo):
            break
        curves, reached = smoothest(wanted[todo])
        reflectance[todo[reached]] = curves[reached]
        todo = todo[~reached]
        wanted[todo, 1:] *= _CHROMA_SHRINK


def lab_by(reflectance: ArrayLike, weights: Floats) -> Floats:
    """Return CIELAB, D65, (N, 3), of the look of reflectances (N, 36) in a light of tristimulus ``weights`` (36, 3).

    Weights are those of a CIE illuminant (:func:`illuminants.tristimulus_weights`) or of a spectral power
    (:func:`illuminants.weights_of`). The eye is taken to be fully adapted to the light (CAT16, D = 1).
    """
    xyz = as_floats(reflectance) @ weights
    return xyz_to_lab(adapt(xyz, weights.sum(axis=0), WHITE_D65, CAT16))


def _likeliest(lab: Floats) -> tuple[Floats, NDArray[np.bool_]]:
    """Return the likeliest curves (N, 36) of (N, 3) colours and whether each was reached.

    z is normal about what is expected, its level free: at the likeliest z that has the tristimulus values it strays
    from what is expected by the covariance times what those are sensitive to, times three multipliers. Solved again and
    again with the sensitivity where the last step led: three multipliers and a level a colour, and no larger equation.
    """
    weights = tristimulus_weights("D65")
    # The weights' own white, which differs from the tabulated one in the fourth digit, makes white R = 1 exactly.
    target = lab_to_xyz(lab, white=weights.sum(axis=0))
    expected, covariance = expected_shape(lab), shape_covariance()
    z = np.repeat(np.arctanh(2 * target[:, 1:2] - 1), len(weights), axis=1)
    open_rows = np.arange(len(lab))
    reached = np.zeros(len(lab), dtype=bool)
    for _ in range(_MAX_STEPS):
        tanh = np.tanh(z[open_rows])
        off = target[open_rows] - (tanh + 1) / 2 @ weights
        there = np.abs(off).max(axis=1) < TOLERANCE
        reached[open_rows[there]] = True
        open_rows, tanh, off = open_rows[~there], tanh[~there], off[~there]
        if not len(open_rows):
            break
        step = _step(z[open_rows], expected[open_rows], (1 - tanh**2) / 2, off, weights, covariance)
        scale = np.minimum(1, MAX_CHANGE / np.maximum(np.abs(step).max(axis=1), 1e-12))[:, None]
        z[open_rows] = np.clip(z[open_rows] + scale * step, -MAX_Z, MAX_Z)
    return (np.tanh(z) + 1) / 2, reached


def _step(z: Floats, expected: Floats, slope: Floats, off: Floats, weights: Floats, covariance: Floats) -> Floats:
    """Return the change (N, 36) of z to the likeliest curve that has the tristimulus values, were tanh straight."""
    count = len(z)
    sensitivity = slope * weights.T[:, None, :]
    spread = (sensitivity.reshape(-1, len(weights)) @ covariance).reshape(sensitivity.shape)
    level = sensitivity.sum(axis=2).T
    system = np.zeros((count, 4, 4))
    system[:, :3, :3] = np.einsum("ins,jns->nij", spread, sensitivity, optimize=True)
    system[:, :3, 3] = system[:, 3, :3] = level
    right = np.zeros((count, 4))
    right[:, :3] = off + np.einsum("ins,ns->ni", sensitivity, z - expected, optimize=True)
    found = np.linalg.solve(system, right[:, :, None])[:, :, 0]
    return np.asarray(expected + np.einsum("ins,ni->ns", spread, found[:, :3], optimize=True) + found[:, 3:] - z)
