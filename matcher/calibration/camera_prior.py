"""What is believed of a camera's colour errors before a chart speaks: how cameras under lamps turned out to err.

Simulated: 51 cameras' measured sensitivities (Academy Software Foundation, rawtoaces-data, Apache-2.0; all but the
Nikon D5100, which the tests keep to themselves) under 22 CIE illuminants, developed by the camera's matrix for daylight
or by the one between daylight and CIE A that the lamp asks for. A correction was fitted to each on 289 reflectances
that are no chart's: rawtoaces-data's training set and the samples of CIE 224:2017. tests/benchmarks/camera_prior.py
makes the numbers again.
"""

from __future__ import annotations

from functools import cache

import numpy as np

from matcher.colorimetry.spaces import Floats

# Weights that each response (rows) gives to the others and to the roots (columns; see correction.py): the mean, and one
# sigma along the two widest directions. A response's own weight is what is left of 1, and stands as 0 here.
_MEAN: Floats = np.array(
    [
        [0.0, -0.20, 0.05, 0.38, -0.08, 0.05],
        [0.11, 0.0, 0.08, -0.39, 0.07, -0.07],
        [-0.39, -0.30, 0.0, 0.75, -0.25, 0.14],
    ]
)
_WIDEST: Floats = np.array(
    [
        [0.0, -0.30, -0.03, 0.61, 0.05, -0.05],
        [-0.27, 0.0, -0.04, 0.76, -0.08, 0.06],
        [-0.02, -0.01, 0.0, 0.02, -0.16, 0.07],
    ]
)
_SECOND: Floats = np.array(
    [
        [0.0, -0.06, 0.0, 0.17, 0.04, -0.04],
        [0.06, 0.0, 0.0, -0.20, -0.01, 0.0],
        [-0.18, -0.23, 0.0, 0.40, -0.14, 0.08],
    ]
)
# One sigma of each weight beside these directions: 0.04 to 0.18 in the simulation, 0.1 on average, and half as much
# again for what no sensor tells: every maker develops to a look (assumption; read with two sensors that are not among
# the 51, charts come out best from 0.15 to 0.2).
_REST_SD = 0.15
# Stray light in the lens, as part of what white reflects, one sigma of each response (assumption): eight charts in
# photographs showed 0 to 0.01, a ninth, among sheets of white paper, 0.05 to 0.1. From 0.01 to 0.05 it decides nothing.
_STRAY_SD = 0.02


@cache
def weights_prior() -> tuple[Floats, Floats]:
    """Return mean (3, 7) and covariance (21, 21), row by row, of the weights of a correction with all its terms."""
    mean, widest, second = (np.pad(weights, ((0, 0), (0, 1))) for weights in (_MEAN, _WIDEST, _SECOND))
    sd = np.broadcast_to(np.append(np.full(_MEAN.shape[1], _REST_SD), _STRAY_SD), mean.shape)
    covariance = np.diag(sd.ravel() ** 2) + sum(np.outer(each, each) for each in (widest, second))
    for array in (mean, covariance):
        array.setflags(write=False)
    return mean, np.asarray(covariance)
