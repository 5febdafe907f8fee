"""The degree of adaptation as published, and partial adaptation against colour-science's."""

from __future__ import annotations

import numpy as np
import pytest

from matcher.colorimetry.adaptation import CAT16, adapt
from matcher.colorimetry.colour_library import colour_library
from matcher.colorimetry.partial_adaptation import adapt_in_part, adapting_luminance, degree_of_adaptation
from matcher.colorimetry.spaces import WHITE_D65

A = np.array([1.09850, 1.0, 0.35585])
COLOURS = np.array([[0.489, 0.4362, 0.0625], [0.3, 0.35, 0.1], [1.0985, 1.0, 0.35585]])


def test_degree_of_adaptation_by_hand() -> None:
    # D = F [1 - exp((-LA - 42) / 92) / 3.6] (CIE 159:2004, CIE 248:2022), computed apart.
    assert degree_of_adaptation(np.array([4.0, 20.0, 64.0, 318.0])) == pytest.approx(
        [0.8315, 0.8584, 0.9122, 0.9945], abs=6e-5
    )
    # 100 lux on white walls of 0.8 before a background of a fifth: 5 cd/m2.
    assert float(adapting_luminance(100)) == pytest.approx(5.1, abs=0.05)


@pytest.mark.parametrize("degree", [0.0, 0.5, 0.83, 1.0])
def test_partial_adaptation_agrees_with_colour_science(degree: float) -> None:
    """CAT16 in two steps (Zhai & Luo 2018) with the second complete is the one step used here."""
    from_library = colour_library().adaptation.chromatic_adaptation_Zhai2018
    expected = from_library(
        100 * COLOURS, 100 * A, 100 * WHITE_D65, D_b=degree, D_d=1, XYZ_wo=100 * WHITE_D65, transform="CAT16"
    )
    np.testing.assert_allclose(100 * adapt_in_part(COLOURS, A, degree), expected, atol=1e-9)


def test_complete_adaptation_is_the_other_modules() -> None:
    np.testing.assert_allclose(adapt_in_part(COLOURS, A, 1.0), adapt(COLOURS, A, WHITE_D65, CAT16), atol=1e-12)
