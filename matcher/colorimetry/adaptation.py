"""Chromatic adaptation, complete (D = 1), in a cone-like space.

Incomplete adaptation is left out on purpose: with D < 1 every neutral under a lamp carries a tint of its own, and
undertones would be named after it.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from matcher.colorimetry.spaces import WHITE_D65, Floats, as_floats

# Lam 1985, as ICC.1:2022 Annex E and CIE 160:2004 print it.
BRADFORD: Floats = np.array([[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]])

# Back from Bradford's responses to XYZ, and those to D65's white: what readings of light are made in.
FROM_BRADFORD: Floats = np.linalg.inv(BRADFORD)
WHITE_CONES: Floats = BRADFORD @ WHITE_D65

# CIE 159:2004, the adaptation of CIECAM02.
CAT02: Floats = np.array([[0.7328, 0.4296, -0.1624], [-0.7036, 1.6975, 0.0061], [0.0030, 0.0136, 0.9834]])

# Hunt-Pointer-Estevez cone signals of XYZ, as Hunt 1991 prints them and CIE 159:2004 has them for CIECAM02.
HUNT_POINTER_ESTEVEZ: Floats = np.array([[0.38971, 0.68898, -0.07868], [-0.22981, 1.18340, 0.04641], [0.0, 0.0, 1.0]])

# Li et al. 2017 (doi 10.1002/col.22131); CIE 248:2022.
CAT16: Floats = np.array(
    [[0.401288, 0.650173, -0.051461], [-0.250268, 1.204414, 0.045854], [-0.002079, 0.048952, 0.953127]]
)


def relative_cones(xyz: Floats) -> Floats:
    """Return Bradford's responses (..., 3) relative to those to white of XYZ under D65 (..., 3), white Y = 1."""
    return np.asarray(xyz @ BRADFORD.T / WHITE_CONES)


def adapt(xyz: ArrayLike, white_from: ArrayLike, white_to: ArrayLike, matrix: Floats = BRADFORD) -> Floats:
    """Return XYZ of the corresponding colours under ``white_to``; all three broadcast as ``(..., 3)``.

    The whites' own Y scales the result: pass whites with Y = 1 to keep luminance factors.
    """
    xyz = as_floats(xyz)
    to_cones = matrix.T.astype(xyz.dtype)
    gains = (as_floats(white_to) @ matrix.T) / (as_floats(white_from) @ matrix.T)
    return (xyz @ to_cones * gains.astype(xyz.dtype)) @ np.linalg.inv(matrix).T.astype(xyz.dtype)
