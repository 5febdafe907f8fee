"""Spectra, CGATS and CxF3 as readings, against colour-science's tables and integration."""

from __future__ import annotations

import warnings
from typing import Any

import numpy as np
import pytest

from matcher.colorimetry.difference import delta_e_2000
from matcher.errors import ReadingError
from matcher.instrument.reading import understand

CGATS = """CGATS.17
{keywords}
BEGIN_DATA_FORMAT
SAMPLE_ID LAB_L LAB_A LAB_B
END_DATA_FORMAT
BEGIN_DATA
1 52.5 10.25 -20
2 52.7 10.15 -20.1
END_DATA
"""
CXF = """<cc:CxF xmlns:cc="http://colorexchangeformat.com/CxF3-core"><cc:Resources><cc:ObjectCollection>
<cc:Object Name="floor" Id="c1"><cc:ColorValues>{values}</cc:ColorValues></cc:Object></cc:ObjectCollection>
<cc:ColorSpecificationCollection>
<cc:ColorSpecification Id="two"><cc:TristimulusSpec><cc:Illuminant>D65</cc:Illuminant>
<cc:Observer>2_Degree</cc:Observer></cc:TristimulusSpec></cc:ColorSpecification>
<cc:ColorSpecification Id="ten"><cc:TristimulusSpec><cc:Illuminant>D65</cc:Illuminant>
<cc:Observer>10_Degree</cc:Observer></cc:TristimulusSpec></cc:ColorSpecification></cc:ColorSpecificationCollection></cc:Resources></cc:CxF>"""


def cxf_lab(specification: str, *lab: float) -> str:
    parts = "".join(f"<cc:{letter}>{value}</cc:{letter}>" for letter, value in zip("LAB", lab, strict=True))
    return f'<cc:ColorCIELab ColorSpecification="{specification}">{parts}</cc:ColorCIELab>'


@pytest.fixture(scope="module")
def colour() -> Any:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour
    return colour


@pytest.fixture(scope="module")
def chart(colour: Any) -> list[tuple[Any, np.ndarray[Any, Any]]]:
    """The 24 patches of ISO 17321-1 and their CIELAB D65/2 by ASTM E308, as colour-science integrates it."""
    observer, light = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"], colour.SDS_ILLUMINANTS["D65"]
    white = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return [
            (patch, colour.XYZ_to_Lab(colour.sd_to_XYZ(patch, observer, light, method="ASTM E308") / 100, white))
            for patch in colour.SDS_COLOURCHECKERS["ISO 17321-1"].values()
        ]


@pytest.mark.parametrize("step", [10, 20])
@pytest.mark.parametrize("spelling", ["pairs", "percent pairs", "table", "decimal commas"])
def test_pasted_spectra_against_astm_e308(chart: Any, step: int, spelling: str) -> None:
    bands = np.arange(380, 741, step)
    apart = []
    for patch, expected in chart:
        values = np.interp(bands, patch.wavelengths, patch.values)
        if spelling == "table":
            text = "\t".join(["Name", *(f"{nm} nm" for nm in bands)]) + "\n"
            text += "\t".join(["x", *(f"{100 * value:.3f}" for value in values)])
        else:
            scale = 100 if "percent" in spelling else 1
            text = "\n".join(f"{nm}\t{scale * value:.5f}" for nm, value in zip(bands, values, strict=True))
            text = text.replace(".", ",") if "commas" in spelling else text
        found = understand(text)
        assert found.remarks == ()
        assert found.sd == 0.5
        apart.append(float(delta_e_2000(found.lab, expected)))
    assert np.median(apart) < 0.15
    assert max(apart) < 0.5


def test_a_row_of_numbers_without_wavelengths_is_taken_for_a_usual_range_and_said(chart: Any) -> None:
    patch, expected = chart[0]
    values = np.interp(np.arange(400, 701, 10), patch.wavelengths, patch.values)
    found = understand(" ".join(f"{value:.4f}" for value in values))
    assert float(delta_e_2000(found.lab, expected)) < 0.3
    (remark,) = found.remarks
    assert (remark.kind, dict(remark.values)) == ("wavelengths assumed", {"first": 400, "last": 700})


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("\n".join(f"{nm} 0.5" for nm in range(450, 701, 10)), "goes from 450 to 700 nm"),
        ("\n".join(f"{nm} 500" for nm in range(400, 701, 10)), "holds reflectances from 500 to 500"),
        (
            "\n".join(f"{nm} 50" for nm in [*range(400, 521, 10), *range(580, 701, 10)]),
            "has nothing between 520 and 580 nm",
        ),
        ("\n".join(f"{nm} -3" for nm in range(400, 701, 10)), "holds reflectances from -3 to -3"),
        ("\t".join(map(str, range(400, 701, 10))) + "\n" + "\t".join(["0.5"] * 30), "has no value at 700 nm"),
    ],
)
def test_a_broken_spectrum_is_said(text: str, message: str) -> None:
    with pytest.raises(ReadingError, match=message):
        understand(text)


def test_published_d50_values_of_a_chart_meet_its_spectra_under_d65(colour: Any) -> None:
    """BabelColor's averages of 30 charts: xyY under D50 as published, and the spectra, both from colour-science.

    Bradford leaves the difference that the doubt states: 0.85 as a root mean square.
    """
    published = colour.CCS_COLOURCHECKERS["BabelColor Average"]
    white = colour.xy_to_XYZ(published.illuminant)
    observer, light = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"], colour.SDS_ILLUMINANTS["D65"]
    d65 = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    apart = []
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        for name, xyy in published.data.items():
            spectrum = colour.SDS_COLOURCHECKERS["BabelColor Average"][name]
            expected = colour.XYZ_to_Lab(colour.sd_to_XYZ(spectrum, observer, light) / 100, d65)
            lab = colour.XYZ_to_Lab(colour.xyY_to_XYZ(xyy), colour.XYZ_to_xy(white))
            found = understand("L {:.3f} a {:.3f} b {:.3f}".format(*lab), light="D50", observer=2)
            apart.append(float(delta_e_2000(found.lab, expected)) / found.sd)
    assert np.sqrt(np.mean(np.square(apart))) < 1.1
    assert max(apart) < 2.5


def test_a_cgats_file_is_for_d50_unless_it_says_otherwise() -> None:
    silent, stated = understand(CGATS.format(keywords="")), understand(CGATS.format(keywords='ILLUMINANT "D50"'))
    np.testing.assert_allclose(silent.lab, stated.lab)
    assert [r.kind for r in silent.remarks] == ["averaged", "light assumed", "converted"]
    assert [r.kind for r in stated.remarks] == ["averaged", "converted"]
    assert silent.sd > stated.sd > 0.85
    d65 = understand(CGATS.format(keywords=""), light="D65")
    np.testing.assert_allclose(d65.readings[0].lab, [52.5, 10.25, -20], atol=1e-9)
    assert d65.sd == pytest.approx(0.5)


def test_a_file_and_a_choice_that_contradict_are_said() -> None:
    with pytest.raises(ReadingError, match="light D50 is written there and D65 was chosen"):
        understand(CGATS.format(keywords='ILLUMINANT "D50"'), light="D65")


def test_cxf_for_two_degrees_goes_before_ten() -> None:
    two, ten = cxf_lab("two", 52.5, 10.25, -20), cxf_lab("ten", 53, 11, -19)
    found = understand(CXF.format(values=ten + two))
    np.testing.assert_allclose(found.lab, [52.5, 10.25, -20], atol=1e-9)
    assert found.sd == pytest.approx(0.5)
    alone = understand(CXF.format(values=ten))
    assert [r.kind for r in alone.remarks] == ["converted"]
    assert alone.sd > 1.3
    assert float(delta_e_2000(alone.lab, [53, 11, -19])) < 3


def test_a_broken_file_is_said_with_its_place() -> None:
    with pytest.raises(ReadingError, match=r"line 7, column LAB_L: 152\.5 is outside 0 to 100"):
        understand(CGATS.format(keywords="").replace("1 52.5", "1 152.5"))
    with pytest.raises(ReadingError, match="not XML that can be read"):
        understand('<cc:CxF xmlns:cc="http://colorexchangeformat.com/CxF3-core">')
