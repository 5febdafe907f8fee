"""Lamps against the chromaticities that CIE 015:2018 prints, and daylight against the D65 table."""

from __future__ import annotations

import subprocess
import sys

import numpy as np
import pytest

from matcher.colorimetry import illuminants
from matcher.colorimetry.data.make_cie_tables import TABLES, cie_tables
from matcher.colorimetry.spaces import WHITE_D65
from matcher.errors import RequestError


@pytest.mark.parametrize(
    ("name", "x", "y"),
    [
        # CIE 015:2018 Tables 3, 10.1 and 12.1, 2 degrees, as printed.
        ("A", 0.44758, 0.40745),
        ("C", 0.31006, 0.31616),
        ("D50", 0.34567, 0.35851),
        ("D55", 0.33243, 0.34744),
        ("D65", 0.31272, 0.32903),
        ("D75", 0.29903, 0.31488),
        ("FL2", 0.3721, 0.3751),
        ("FL11", 0.3805, 0.3769),
        ("LED-B1", 0.4560, 0.4078),
        ("LED-B3", 0.3756, 0.3723),
    ],
)
def test_white_point_cie_015_2018_chromaticities(name: str, x: float, y: float) -> None:
    xyz = illuminants.white_point(name)
    # CIE sums fluorescent tables at 5 nm, we at 1 nm: two units of the fourth place.
    assert xyz[0] / xyz.sum() == pytest.approx(x, abs=2.5e-4)
    assert xyz[1] / xyz.sum() == pytest.approx(y, abs=2.5e-4)
    assert xyz[1] == 1


@pytest.mark.parametrize(
    ("name", "x", "y"),
    [
        # CIE 015:2018, the tables of illuminants A, C and D, FL, HP and LED, 2 degrees, as printed: the first by way of
        # the test above, the rest as colour-science 0.4.7 carries them apart from the spectra.
        ("A", "0.44758", "0.40745"), ("C", "0.31006", "0.31616"), ("D50", "0.34567", "0.35851"),
        ("D55", "0.33243", "0.34744"), ("D65", "0.31272", "0.32903"), ("D75", "0.29903", "0.31488"),
        ("FL1", "0.3131", "0.3371"), ("FL2", "0.3721", "0.3751"), ("FL3", "0.4091", "0.3941"),
        ("FL4", "0.4402", "0.4031"), ("FL5", "0.3138", "0.3452"), ("FL6", "0.3779", "0.3882"),
        ("FL7", "0.3129", "0.3292"), ("FL8", "0.3458", "0.3586"), ("FL9", "0.3741", "0.3727"),
        ("FL10", "0.3458", "0.3588"), ("FL11", "0.3805", "0.3769"), ("FL12", "0.4370", "0.4042"),
        ("FL3.1", "0.4407", "0.4033"), ("FL3.2", "0.3808", "0.3734"), ("FL3.3", "0.3153", "0.3439"),
        ("FL3.4", "0.4429", "0.4043"), ("FL3.5", "0.3749", "0.3672"), ("FL3.6", "0.3488", "0.3600"),
        ("FL3.7", "0.4384", "0.4045"), ("FL3.8", "0.3820", "0.3832"), ("FL3.9", "0.3499", "0.3591"),
        ("FL3.10", "0.3455", "0.3560"), ("FL3.11", "0.3245", "0.3434"), ("FL3.12", "0.4377", "0.4037"),
        ("FL3.13", "0.3830", "0.3724"), ("FL3.14", "0.3447", "0.3609"), ("FL3.15", "0.3127", "0.3288"),
        ("HP1", "0.5330", "0.4150"), ("HP2", "0.4778", "0.4158"), ("HP3", "0.4302", "0.4075"),
        ("HP4", "0.3812", "0.3797"), ("HP5", "0.3776", "0.3713"), ("LED-B1", "0.4560", "0.4078"),
        ("LED-B2", "0.4357", "0.4012"), ("LED-B3", "0.3756", "0.3723"), ("LED-B4", "0.3422", "0.3502"),
        ("LED-B5", "0.3118", "0.3236"), ("LED-BH1", "0.4474", "0.4066"), ("LED-RGB1", "0.4557", "0.4211"),
        ("LED-V1", "0.4548", "0.4044"), ("LED-V2", "0.3781", "0.3775"),
    ],
)  # fmt: skip
def test_chromaticities_of_the_tables_to_half_the_last_digit(name: str, x: str, y: str) -> None:
    half = 0.5 * 10.0 ** -len(x.partition(".")[2])
    if name == "FL3.13":  # whose table gives 0.383052
        half += 3e-6
    assert illuminants.chromaticity(name) == pytest.approx((float(x), float(y)), abs=half)


def test_measured_paint_comes_at_36_wavelengths() -> None:
    """380 to 730 nm by 10, as numbers that are reckoned with and not counted."""
    np.testing.assert_array_equal(illuminants.wavelengths(), np.linspace(380, 730, 36), strict=True)


def test_white_point_d65_astm_e308() -> None:
    np.testing.assert_allclose(illuminants.white_point("D65"), WHITE_D65, rtol=0, atol=1e-5)


@pytest.mark.parametrize(
    ("cct", "x", "y"),
    [(5003, 0.34565, 0.35860), (5503, 0.33243, 0.34755), (6504, 0.31271, 0.32912), (7504, 0.29905, 0.31498)],
)
def test_daylight_locus_agrees_with_colour_science(cct: float, x: float, y: float) -> None:
    # Values of the CIE formula, computed apart and alike by colour-science 0.4.7.
    assert illuminants.daylight_chromaticity(cct) == pytest.approx((x, y), abs=5e-6)


def test_daylight_at_6504_k_is_the_table_of_d65() -> None:
    computed, table = illuminants.daylight(6500 * 1.4388 / 1.4380), illuminants.spectral_power("D65")
    # CIE tabulates D65 with M1, M2 rounded to three decimals and five-nanometre steps interpolated.
    np.testing.assert_allclose(computed / computed[18], table / table[18], rtol=0, atol=1e-3)


def test_daylight_of_7000_k_is_of_the_warmer_formula() -> None:
    """CIE 015:2018 eq. 4.6 holds from 4000 to 7000 K with both ends, eq. 4.7 above; there they differ by 5e-7."""
    x = -4.6070e9 / 7000**3 + 2.9678e6 / 7000**2 + 0.09911e3 / 7000 + 0.244063
    assert illuminants.daylight_chromaticity(7000)[0] == pytest.approx(x, abs=1e-9)


def test_flames_and_filaments_are_had_to_both_ends_of_the_range() -> None:
    for kelvin in (1500.0, 3900.0):
        assert illuminants.incandescent(kelvin)[18] == pytest.approx(100)


@pytest.mark.parametrize("cct", [3999.0, 25001.0, float("nan")])
def test_daylight_outside_its_definition_is_refused(cct: float) -> None:
    with pytest.raises(ValueError, match="4000 to 25000 K"):
        illuminants.daylight(cct)


def test_incandescent_is_the_table_of_a() -> None:
    # CIE 015:2018 sec. 4.1.1: A is Planck's law with c2 = 0.01435 m K at 2848 K, printed to six digits.
    computed = illuminants.incandescent(2848 * 1.438776877 / 1.4350)
    np.testing.assert_allclose(computed, illuminants.spectral_power("A"), rtol=6e-6, atol=0)


@pytest.mark.parametrize(
    ("kelvin", "x", "y"), [(1500, 0.58571, 0.39313), (2000, 0.52668, 0.41330), (3500, 0.40531, 0.39072)]
)
def test_incandescent_lies_on_the_planckian_locus(kelvin: float, x: float, y: float) -> None:
    # colour-science 0.4.7: sd_blackbody by 1 nm, integrated with the 2 degree observer.
    white = illuminants.weights_of(illuminants.incandescent(kelvin)).sum(axis=0)
    assert white[:2] / white.sum() == pytest.approx((x, y), abs=2e-4)


@pytest.mark.parametrize("kelvin", [900.0, 1499.0, 3901.0, 40000.0, float("nan")])
def test_no_filament_is_that_cold_or_hot(kelvin: float) -> None:
    with pytest.raises(ValueError, match="1500 to 3900 K"):
        illuminants.incandescent(kelvin)


def test_weights_of_a_power_are_those_of_the_lamp_by_name() -> None:
    for name in ("A", "D50", "D65", "D75"):
        found = illuminants.weights_of(illuminants.spectral_power(name))
        np.testing.assert_allclose(found, illuminants.tristimulus_weights(name), rtol=0, atol=5e-5)


def test_weights_of_daylight_are_for_the_chromaticity_cie_gives_it() -> None:
    for cct in (4000.0, 6504.0, 25000.0):
        white = illuminants.weights_of(illuminants.daylight(cct)).sum(axis=0)
        # CIE's components miss the chromaticity that they are computed from by a unit of the fourth place.
        assert white[:2] / white.sum() == pytest.approx(illuminants.daylight_chromaticity(cct), abs=1.5e-4)


def test_unknown_lamp_is_refused_and_the_known_ones_are_named() -> None:
    with pytest.raises(RequestError) as caught:
        illuminants.spectral_power("2700K bulb")
    (problem,) = caught.value.problems
    assert "2700K bulb" in problem.what
    assert all(name in problem.remedy for name in ("A", "D65", "FL11", "LED-B1"))


def test_weights_of_a_perfect_reflector_are_the_lamps_white() -> None:
    for name in ("A", "FL11", "LED-B1"):
        weights = illuminants.tristimulus_weights(name)
        assert weights.shape == (36, 3)
        np.testing.assert_allclose(weights.sum(axis=0), illuminants.white_point(name), rtol=0, atol=1e-12)


def test_cached_tables_cannot_be_changed_by_a_user() -> None:
    with pytest.raises(ValueError, match="read-only"):
        illuminants.spectral_power("A")[0] = 1


def test_the_tables_are_what_their_script_makes() -> None:
    made = cie_tables()
    with np.load(TABLES) as stored:
        assert stored.files == list(made)
        for key in stored.files:
            np.testing.assert_array_equal(stored[key], made[key], err_msg=key)


def test_colour_arithmetic_does_not_import_colour_science() -> None:
    modules = ["spaces", "difference", "lrv", "adaptation", "illuminants", "munsell", "iscc_nbs", "recovery"]
    modules += ["colour_temperature", "appearance", "partial_adaptation"]
    code = "import sys\n" + "".join(f"import matcher.colorimetry.{name}\n" for name in modules)
    code += "matcher.colorimetry.iscc_nbs.designation([76, 1, 6])\nmatcher.colorimetry.illuminants.daylight(7000)\n"
    code += "matcher.colorimetry.recovery.recover_reflectance([[76, 1, 6]])\nassert 'colour' not in sys.modules"
    subprocess.run([sys.executable, "-W", "error", "-c", code], check=True)


def test_importing_colour_science_raises_no_warning() -> None:
    code = "from matcher.colorimetry.colour_library import colour_library\nassert colour_library().SDS_ILLUMINANTS"
    subprocess.run([sys.executable, "-W", "error", "-c", code], check=True)
