"""Appearance model and colour temperature against published worked examples."""

from __future__ import annotations

import numpy as np
import pytest

from matcher.colorimetry.appearance import colourfulness
from matcher.colorimetry.colour_library import colour_library
from matcher.colorimetry.colour_temperature import correlated_kelvin
from matcher.colorimetry.illuminants import observer_fine
from matcher.colorimetry.spaces import lab_to_xyz


def test_the_library_that_ours_is_held_against_gives_the_worked_example_of_ciecam02() -> None:
    """CIE 159:2004 as reprinted (Fairchild, Color Appearance Models, table of CIECAM02): case 1, to half the last
    digit printed."""
    found = colour_library().XYZ_to_CIECAM02([19.01, 20.00, 21.78], [95.05, 100.00, 108.88], 318.31, 20.0)
    assert [found.J, found.C, found.h, found.Q] == pytest.approx([41.7311, 0.1047, 219.0484, 195.3713], abs=5.1e-5)


def test_colourfulness_is_that_of_colour_science() -> None:
    """Whatever the colour, the light and its level."""
    random = np.random.default_rng(2)
    labs = np.column_stack([random.uniform(2, 99, 300), random.uniform(-40, 40, 300), random.uniform(-40, 60, 300)])
    xyz = np.maximum(lab_to_xyz(labs), 1e-6)
    for white in ([0.95047, 1.0, 1.08883], [1.0985, 1.0, 0.35585]):
        for luminance in (0.02, 4.0, 318.31):
            with np.errstate(all="ignore"):
                theirs = colour_library().XYZ_to_CIECAM02(
                    100 * xyz, 100 * np.array(white), luminance, 20.0, discount_illuminant=True
                )
                ours = colourfulness(xyz, luminance, white)
            np.testing.assert_allclose(ours, theirs.M, rtol=1e-9, atol=1e-9)


def test_colourfulness_falls_with_the_light_by_the_fourth_root_of_adaptation() -> None:
    """M = C FL^(1/4), FL = 0.2 k^4 5 LA + 0.1 (1 - k^4)^2 (5 LA)^(1/3), k = 1 / (5 LA + 1) (CIE 159:2004)."""

    def fl(luminance: float) -> float:
        k = 1 / (5 * luminance + 1)
        return 0.2 * k**4 * 5 * luminance + 0.1 * (1 - k**4) ** 2 * (5 * luminance) ** (1 / 3)

    xyz = lab_to_xyz([[76.0, 5.0, 8.0], [55.0, 14.0, 28.0]])
    dim, good = colourfulness(xyz, 2.0), colourfulness(xyz, 25.0)
    # Chroma itself moves a little with the level, so a tenth either way.
    assert dim / good == pytest.approx([(fl(2.0) / fl(25.0)) ** 0.25] * 2, rel=0.1)
    assert np.all(dim < good)
    assert colourfulness(lab_to_xyz([76.0, 0.0, 0.0]), 5.0) == pytest.approx(0, abs=0.02)


@pytest.mark.parametrize(
    ("x", "y", "kelvin"),
    # CIE 015:2018 Tables 10.1 and 12 print chromaticity and correlated colour temperature of each.
    [
        (0.44758, 0.40745, 2856), (0.31272, 0.32903, 6503), (0.37208, 0.37529, 4225), (0.38052, 0.37713, 4000),
        (0.4560, 0.4078, 2733), (0.3756, 0.3723, 4103),
    ],
)  # fmt: skip
def test_correlated_colour_temperature_as_cie_prints_it(x: float, y: float, kelvin: float) -> None:
    assert correlated_kelvin([x / y, 1.0, (1 - x - y) / y]) == pytest.approx(kelvin, abs=2)


@pytest.mark.parametrize("kelvin", [1200, 1900, 2700, 4000, 6504, 9000, 20000])
@pytest.mark.parametrize("off", [-0.01, 0.0, 0.003])
def test_correlated_colour_temperature_is_that_of_colour_science(kelvin: int, off: float) -> None:
    """Ohno 2013 (Leukos 10:47), whose own error is a few hundredths of a per cent where the light is off the locus."""
    u, v = colour_library().temperature.CCT_to_uv_Ohno2013([kelvin, off])
    x, y = 3 * u / (2 * u - 8 * v + 4), 2 * v / (2 * u - 8 * v + 4)
    assert correlated_kelvin([x / y, 1.0, (1 - x - y) / y]) == pytest.approx(kelvin, rel=1e-3)


@pytest.mark.parametrize("kelvin", [1523.0, 3011.3, 6543.2, 9876.5])
def test_a_black_body_is_as_hot_as_it_is(kelvin: float) -> None:
    """Planck's law as colour-science has it, whose second radiation constant is rounded: 1.6 parts in 100,000."""
    nm, observer = observer_fine()
    xyz = colour_library().colorimetry.planck_law(nm * 1e-9, kelvin) @ observer
    assert correlated_kelvin(xyz / xyz[1]) == pytest.approx(kelvin, rel=3e-5)


def test_black_has_no_colour_to_lose() -> None:
    assert float(colourfulness([0.0, 0.0, 0.0], 20.0)) == pytest.approx(0, abs=1e-12)


@pytest.mark.parametrize(("kelvin", "held"), [(700.0, 1000.0), (950.0, 1000.0), (200_000.0, 100_000.0)])
def test_colder_and_hotter_than_the_scale_is_held_to_its_ends(kelvin: float, held: float) -> None:
    nm, observer = observer_fine()
    xyz = colour_library().colorimetry.planck_law(nm * 1e-9, kelvin) @ observer
    assert correlated_kelvin(xyz / xyz[1]) == pytest.approx(held, rel=1e-9)
