"""Colours in single precision and in whole numbers have the curves and the whiteness of the same colours in double
precision. Held against numpy's own conversion, to the last bit.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray

from matcher.colorimetry.curves import curves_of
from matcher.colorimetry.other_observer import to_d65_2deg
from matcher.colorimetry.recovery import recover_reflectance
from matcher.colorimetry.spaces import Floats
from matcher.colorimetry.whiteness import whiteness

# Of three colours one is measured, which lies 0 or 1 of each: whole numbers can say that.
MEASURED = np.zeros((3, 36))
MEASURED[:, ::3] = 1.0


def _beside_measured(colours: NDArray[np.generic]) -> Floats:
    known = np.where([[True], [False], [False]], MEASURED, np.nan).astype(np.float32)
    return curves_of(colours, known).reflectance


@pytest.mark.parametrize("kind", [np.float32, np.int8])
@pytest.mark.parametrize(
    "told",
    [
        whiteness,
        recover_reflectance,
        lambda labs: to_d65_2deg(labs, "A", 10),
        lambda labs: curves_of(labs).lab,
        lambda labs: curves_of(labs, MEASURED.astype(labs.dtype)).reflectance,
        _beside_measured,
    ],
)
def test_single_precision_and_whole_numbers_are_reckoned_in_double(
    told: Callable[[NDArray[np.generic]], Floats], kind: type[np.generic]
) -> None:
    labs = np.array([[76.3, 4.2, 12.1], [45.2, -9.7, 20.4], [60.1, 15.3, -4.6]]).astype(kind)
    found = told(labs)
    assert found.dtype == np.float64
    np.testing.assert_array_equal(found, told(labs.astype(np.float64)))
