"""CGATS.17 / ISO 28178 text: Lab under D50 or another light, XYZ, spectra; what is wrong is named by line."""

from __future__ import annotations

import time
from pathlib import Path

import numpy as np
import pytest
from coloraide import Color
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from matcher.errors import DeckError
from matcher.paints.reading import read_deck

FILE = """CGATS.17
ORIGINATOR "invented"
{keywords}
NUMBER_OF_FIELDS 5
BEGIN_DATA_FORMAT
{fields}
END_DATA_FORMAT
NUMBER_OF_SETS 2
BEGIN_DATA
{data}
END_DATA
"""
LAB_FIELDS = "SAMPLE_ID SAMPLE_NAME LAB_L LAB_A LAB_B"
LAB_DATA = 'A1 "First paint" 52.5 10.25 -20\nA2\tSecond\t80 -1 3.5'


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "deck.txt"


def _write(path: Path, *, keywords: str = "", fields: str = LAB_FIELDS, data: str = LAB_DATA) -> Path:
    path.write_text(FILE.format(keywords=keywords, fields=fields, data=data))
    return path


def _mistakes(path: Path) -> list[str]:
    with pytest.raises(DeckError) as caught:
        read_deck(path)
    return [str(problem) for problem in caught.value.problems]


def test_lab_is_d50_unless_said_otherwise_against_coloraide(path: Path) -> None:
    deck = read_deck(_write(path))
    assert deck.codes == ("A1", "A2")
    assert deck.names == ("First paint", "Second")
    expected = [
        Color("lab", lab).convert("lab-d65").coords()  # CSS lab is CIELAB D50; coloraide adapts by Bradford
        for lab in ([52.5, 10.25, -20], [80, -1, 3.5])
    ]
    # The two whites differ in the fourth digit: ICC's D50 is 0.9642 1 0.8249, coloraide's x 0.3457 y 0.3585.
    np.testing.assert_allclose(deck.lab, expected, atol=0.03)
    assert np.abs(deck.lab[0] - [52.5, 10.25, -20]).max() > 0.5


@pytest.mark.parametrize(
    "keywords",
    ['ILLUMINANT "D65"', 'WEIGHTING_FUNCTION "ILLUMINANT, D65"', 'KEYWORD "ILLUMINATION_NAME"\nILLUMINANT D65'],
)
def test_stated_d65_is_taken_as_it_is(path: Path, keywords: str) -> None:
    deck = read_deck(_write(path, keywords=keywords))
    np.testing.assert_allclose(deck.lab, [[52.5, 10.25, -20], [80, -1, 3.5]], atol=1e-9)


def test_stated_illuminant_a_makes_its_neutral_neutral(path: Path) -> None:
    deck = read_deck(_write(path, keywords='ILLUMINANT "A"', data='A1 "First paint" 60 0 0'))
    np.testing.assert_allclose(deck.lab, [[60, 0, 0]], atol=1e-9)


def test_xyz_of_the_d50_white_is_white(path: Path) -> None:
    deck = read_deck(
        _write(path, fields="SAMPLE_NAME XYZ_X XYZ_Y XYZ_Z", data="W 96.42 100 82.49\nG 17.3556 18 14.8482")
    )
    # L* of Y = 18 is 49.496 (CIE 015:2018, eq. 8.3).
    np.testing.assert_allclose(deck.lab, [[100, 0, 0], [49.496, 0, 0]], atol=1e-3)


@pytest.mark.parametrize("prefix", ["SPECTRAL_NM", "SPECTRAL_", "nm", "SPECTRAL_PCT"])
@pytest.mark.filterwarnings("ignore")  # colour-science tells of matplotlib's absence and of each table it aligns
def test_measured_spectra_against_colour_science(path: Path, prefix: str) -> None:
    import colour

    patches = colour.SDS_COLOURCHECKERS["ISO 17321-1"]  # 24 measured chart patches, 380 to 780 nm by 5
    illuminant, observer = colour.SDS_ILLUMINANTS["D65"], colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    shape = colour.SpectralShape(380, 730, 10)
    names, rows, expected = [], [], []
    for name, spectrum in patches.items():
        values = spectrum.copy().align(shape).values
        xyz = colour.sd_to_XYZ(spectrum, observer, illuminant) / 100
        names.append(name.replace(" ", "_"))
        rows.append(values * (100 if "PCT" in prefix else 1))
        expected.append(colour.XYZ_to_Lab(xyz, colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]))
    fields = "SAMPLE_NAME " + " ".join(f"{prefix}{nm}" for nm in range(380, 731, 10))
    data = "\n".join(
        f"{name} {' '.join(f'{value:.5f}' for value in row)}" for name, row in zip(names, rows, strict=True)
    )
    deck = read_deck(_write(path, fields=fields, data=data))
    assert deck.reflectance is not None
    assert deck.reflectance.shape == (24, 36)
    # 10 nm samples up to 730 nm against 5 nm up to 780 nm.
    difference = colour.delta_E(deck.lab, np.array(expected), method="CIE 2000")
    assert np.median(difference) < 0.1
    assert difference.max() < 0.5


def test_band_range_of_400_to_700_is_filled_with_its_end_values(path: Path) -> None:
    fields = "SAMPLE_NAME " + " ".join(f"SPECTRAL_NM{nm}" for nm in range(400, 701, 20))
    deck = read_deck(_write(path, fields=fields, data="G " + " ".join(["0.18"] * 16)))
    np.testing.assert_allclose(deck.lab, [[49.496, 0, 0]], atol=0.05)
    np.testing.assert_allclose(deck.reflectance, np.full((1, 36), 0.18))


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (
            {"data": "A1 First paint 52 10 -20"},
            "line 10: has 6 fields where the data format has 5. Put a name with spaces in",
        ),
        ({"data": "A1 First x 10 -20"}, "line 10, column LAB_L: 'x' is not a number"),
        ({"data": "A1 First 152 10 -20"}, "line 10, column LAB_L: 152 is outside 0 to 100"),
        ({"data": "A1 First nan 10 -20"}, "line 10, column LAB_L: 'nan' is not a number"),
        ({"data": "A1 First 50 0 0\nA1 Second 60 0 0"}, "line 11, column code: 'A1' stands already in line 10"),
        ({"data": ""}, "holds no data lines"),
        ({"fields": "SAMPLE_ID SAMPLE_NAME CMYK_C CMYK_M CMYK_Y"}, "the data format: has no colour that can be read"),
        ({"fields": "PATCH ROW LAB_L LAB_A LAB_B"}, "has neither SAMPLE_ID nor SAMPLE_NAME"),
        ({"keywords": 'WEIGHTING_FUNCTION "OBSERVER, 10 degree"'}, "the colours are for the 10 degree observer"),
        ({"keywords": 'ILLUMINANT "KITCHEN"'}, "illuminant 'KITCHEN' is not known"),
    ],
)
def test_what_is_wrong_is_named(path: Path, change: dict[str, str], message: str) -> None:
    if "data" not in change and "fields" not in change:
        change = {**change, "data": LAB_DATA}
    mistakes = _mistakes(_write(path, **{"data": "A1 First 52 10 -20", **change}))
    assert message in mistakes[0]


@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    fields=st.lists(st.sampled_from([*LAB_FIELDS.split(), "XYZ_X", "SPECTRAL_NM400", "nm700"]), max_size=6),
    data=st.text(st.sampled_from('A1 5.-"\n\tn#')),
)
def test_wild_tables(path: Path, fields: list[str], data: str) -> None:
    try:
        deck = read_deck(_write(path, fields=" ".join(fields), data=data))
    except DeckError:
        return
    assert np.isfinite(deck.lab).all()


def test_a_second_data_format_is_said_in_words(path: Path) -> None:
    again = "BEGIN_DATA_FORMAT\nSAMPLE_ID\nEND_DATA_FORMAT\n"
    for text in (
        _write(path, data=f"{LAB_DATA}\n{again}").read_text(),
        FILE.format(keywords="", fields=LAB_FIELDS, data=LAB_DATA).replace("NUMBER_OF_SETS", f"{again}NUMBER_OF_SETS"),
    ):
        path.write_text(text)
        (mistake,) = _mistakes(path)
        assert "a second data format begins before the data of the first are over" in mistake


def test_a_second_table_after_the_data_is_left_aside(path: Path) -> None:
    text = _write(path).read_text()
    path.write_text(text + text)
    assert read_deck(path).codes == ("A1", "A2")


@pytest.mark.parametrize(
    "text",
    [
        "x" + "\n" * 200_000 + "y",
        "ILLUMINANT" + " " * 100_000 + ";\nBEGIN_DATA_FORMAT\n",
        "OBSERVER" + " " * 100_000 + ";\nBEGIN_DATA_FORMAT\n",
        " " * 100_000 + "x\nBEGIN_DATA_FORMAT\n",
    ],
    ids=["blank lines", "light", "observer", "blanks before"],
)
def test_looking_for_a_word_takes_time_in_proportion(path: Path, text: str) -> None:
    """Runs that several parts of one pattern could share out were tried in every way: hours for some of these."""
    path.write_text(f"{text}SAMPLE_ID LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\nA1 50 200 0\nEND_DATA\n")
    begun = time.perf_counter()
    _mistakes(path)
    assert time.perf_counter() - begun < 3


def test_over_a_limit_there_is_one_message(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (mistake,) = _mistakes(_write(path, fields=" ".join(f"F{number}" for number in range(1001))))
    assert "names more than 1,000 fields" in mistake
    monkeypatch.setattr("matcher.exchange.cgats.MOST_COLOURS", 1)
    (mistake,) = _mistakes(_write(path))
    assert "is colour 2; 1 are read" in mistake


def _spectral(wavelengths: list[int], value: str, others: str = "", other_values: str = "") -> dict[str, str]:
    fields = "SAMPLE_ID " + others + " ".join(f" SPECTRAL_NM{nm}" for nm in wavelengths)
    row = " ".join([other_values, *[value] * len(wavelengths)])
    return {"fields": fields, "data": f"A1 {row}\nA2 {row}"}


GAP = [*range(400, 500, 10), *range(560, 701, 10)]


def test_a_spectrum_with_a_gap_is_no_colour(path: Path) -> None:
    (mistake,) = _mistakes(_write(path, **_spectral(GAP, "0.18")))
    assert "the data format: has no colour that can be read" in mistake
    assert "every 20 nm at least" in mistake
    # As many bands again as the eye needs, but for the invisible ones.
    assert read_deck(_write(path, **_spectral([340, *range(400, 701, 20), 780], "0.18"))).reflectance is not None


def test_a_spectrum_with_a_gap_is_left_for_lab(path: Path) -> None:
    deck = read_deck(_write(path, keywords="ILLUMINANT D65", **_spectral(GAP, "0.5", "LAB_L LAB_A LAB_B", "33 1 2")))
    assert deck.reflectance is None
    np.testing.assert_allclose(deck.lab, [[33, 1, 2], [33, 1, 2]], atol=1e-6)


def test_a_reflectance_above_one_is_named(path: Path) -> None:
    mistakes = _mistakes(_write(path, **_spectral(list(range(400, 701, 10)), "1.01")))
    assert "column SPECTRAL_NM400: 1.01 is outside 0 to 1" in mistakes[0]
