"""CIE whiteness against colour-science, and its defining case (CIE 15:2004: the perfect diffuser has 100)."""

from __future__ import annotations

import warnings

import numpy as np
import pytest

from matcher.colorimetry.spaces import WHITE_D65, lab_to_xyz
from matcher.colorimetry.whiteness import whiteness

with warnings.catch_warnings():
    warnings.filterwarnings("ignore", message='"Matplotlib" related API features', category=Warning)
    from colour.colorimetry import whiteness_CIE2004

WHITES = np.array([[100, 0, 0], [95, 0, 2], [95, 0, -2], [96.5, -0.5, 1.2], [92, 0.5, 6.0], [90, -1, -3]], float)


def test_whiteness_colour_science() -> None:
    white = np.asarray(WHITE_D65)
    for lab, own in zip(WHITES, whiteness(WHITES), strict=True):
        xyz = lab_to_xyz(lab)
        xy, xy_n = xyz[:2] / xyz.sum(), white[:2] / white.sum()
        expected, _ = whiteness_CIE2004(xy, 100 * xyz[1], xy_n, "CIE 1931 2 Degree Standard Observer")
        assert own == pytest.approx(float(expected), abs=1e-6)


def test_the_perfect_diffuser_has_a_hundred() -> None:
    assert float(whiteness([100.0, 0, 0])) == pytest.approx(100)
