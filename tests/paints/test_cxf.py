"""CxF3 / ISO 17972-1: colours under the illuminant they name, spectra, and what is wrong."""

from __future__ import annotations

import tracemalloc
from pathlib import Path

import numpy as np
import pytest
from coloraide import Color
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from matcher.errors import DeckError
from matcher.paints.reading import read_deck

# Written after the element names of the published CxF3-core schema.
FILE = """<?xml version="1.0" encoding="UTF-8"?>
<cc:CxF xmlns:cc="http://colorexchangeformat.com/CxF3-core">
  <cc:Resources>
    <cc:ObjectCollection>
      <cc:Object ObjectType="Standard" Name="First paint" Id="c1"><cc:ColorValues>{first}</cc:ColorValues></cc:Object>
      <cc:Object ObjectType="Standard" Name="Second paint" Id="c2"><cc:ColorValues>{second}</cc:ColorValues></cc:Object>
    </cc:ObjectCollection>
    <cc:ColorSpecificationCollection>
      <cc:ColorSpecification Id="CS1">
        <cc:TristimulusSpec><cc:Illuminant>{illuminant}</cc:Illuminant><cc:Observer>{observer}</cc:Observer></cc:TristimulusSpec>
        <cc:MeasurementSpec><cc:WavelengthRange StartWL="400" Increment="20"/></cc:MeasurementSpec>
      </cc:ColorSpecification>
    </cc:ColorSpecificationCollection>
  </cc:Resources>
</cc:CxF>
"""


def _lab(lightness: object, a: object, b: object) -> str:
    parts = f"<cc:L>{lightness}</cc:L><cc:A>{a}</cc:A><cc:B>{b}</cc:B>"
    return f'<cc:ColorCIELab ColorSpecification="CS1">{parts}</cc:ColorCIELab>'


def _spectrum(values: str, start: int = 400) -> str:
    return f'<cc:ReflectanceSpectrum ColorSpecification="CS1" StartWL="{start}">{values}</cc:ReflectanceSpectrum>'


DEFAULTS = {"first": _lab(52.5, 10.25, -20), "second": _lab(80, -1, 3.5), "illuminant": "D50", "observer": "2_Degree"}


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "deck.cxf"


def _write(path: Path, **change: str) -> Path:
    path.write_text(FILE.format(**{**DEFAULTS, **change}))
    return path


def _mistakes(path: Path) -> list[str]:
    with pytest.raises(DeckError) as caught:
        read_deck(path)
    return [str(problem) for problem in caught.value.problems]


def test_lab_under_d50_against_coloraide(path: Path) -> None:
    deck = read_deck(_write(path))
    assert deck.codes == ("First paint", "Second paint")
    expected = [Color("lab", lab).convert("lab-d65").coords() for lab in ([52.5, 10.25, -20], [80, -1, 3.5])]
    np.testing.assert_allclose(deck.lab, expected, atol=0.03)
    assert deck.reflectance is None


def test_lab_under_d65_is_taken_as_it_is(path: Path) -> None:
    deck = read_deck(_write(path, illuminant="D65"))
    np.testing.assert_allclose(deck.lab, [[52.5, 10.25, -20], [80, -1, 3.5]], atol=1e-9)


def test_fluorescent_lamps_go_by_their_cie_name(path: Path) -> None:
    deck = read_deck(_write(path, illuminant="F11", first=_lab(60, 0, 0)))
    np.testing.assert_allclose(deck.lab[0], [60, 0, 0], atol=1e-9)


def test_xyz(path: Path) -> None:
    parts = "<cc:X>17.3556</cc:X><cc:Y>18</cc:Y><cc:Z>14.8482</cc:Z>"
    xyz = f'<cc:ColorCIEXYZ ColorSpecification="CS1">{parts}</cc:ColorCIEXYZ>'
    # L* of Y = 18 is 49.496 (CIE 015:2018, eq. 8.3); the rest is the D50 white's ratio.
    np.testing.assert_allclose(read_deck(_write(path, first=xyz)).lab[0], [49.496, 0, 0], atol=1e-3)


def test_spectrum_goes_before_lab_and_one_paint_may_have_none(path: Path) -> None:
    deck = read_deck(_write(path, first=_lab(10, 50, 50) + _spectrum(" ".join(["0.18"] * 16))))
    np.testing.assert_allclose(deck.lab[0], [49.496, 0, 0], atol=0.05)
    assert deck.reflectance is not None
    np.testing.assert_allclose(deck.reflectance[0], 0.18)
    assert np.isnan(deck.reflectance[1]).all()


def test_spectrum_that_is_too_short_is_left_for_lab(path: Path) -> None:
    deck = read_deck(_write(path, illuminant="D65", first=_spectrum("0.2 0.3 0.4") + _lab(33, 1, 2)))
    np.testing.assert_allclose(deck.lab[0], [33, 1, 2], atol=1e-9)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"first": _lab("x", 0, 0)}, "object 1, column L: 'x' is not a number"),
        ({"first": _lab("nan", 0, 0)}, "object 1, column L: 'nan' is not a number"),
        ({"second": _lab(120, 0, 0)}, "object 2, column L: 120 is outside 0 to 100"),
        ({"first": ""}, "object 1: has no colour that can be read"),
        ({"observer": "10_Degree"}, "object 1: its colour is for D50, 10_Degree"),
        ({"illuminant": "Custom"}, "object 1: its colour is for Custom"),
        ({"first": _spectrum(" ".join(["1.8"] * 16))}, "object 1, column reflectance: 1.8 is outside 0 to 1"),
    ],
)
def test_what_is_wrong_is_named(path: Path, change: dict[str, str], message: str) -> None:
    assert message in _mistakes(_write(path, **change))[0]


def test_duplicate_names(path: Path) -> None:
    path.write_text(FILE.format(**DEFAULTS).replace("Second paint", "First paint"))
    assert "object 2, column code: 'First paint' stands already in object 1" in _mistakes(path)[0]


def test_cut_short(path: Path) -> None:
    path.write_text(FILE.format(**DEFAULTS)[:700])
    assert "is not XML that can be read" in _mistakes(path)[0]


def test_an_encoding_nobody_knows(path: Path) -> None:
    path.write_text(FILE.format(**DEFAULTS).replace('encoding="UTF-8"', 'encoding="cTF-8"'))
    assert "is not XML that can be read" in _mistakes(path)[0]


def test_document_type_is_refused(path: Path) -> None:
    entity = '<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">]>'
    path.write_text(FILE.format(**DEFAULTS).replace("<cc:CxF", f"{entity}<cc:CxF", 1).replace("52.5", "&b;"))
    assert "is not XML that can be read" in _mistakes(path)[0]


@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(at=st.integers(0, 1200), new=st.text(st.sampled_from("<>/&\"' acx19.\u00e9"), max_size=6))
def test_damaged_files(path: Path, at: int, new: str) -> None:
    text = FILE.format(**{**DEFAULTS, "first": _spectrum(" ".join(["0.18"] * 16))})
    path.write_text(text[:at] + new + text[at + len(new) :], encoding="utf-8")
    try:
        deck = read_deck(path)
    except DeckError:
        return
    assert np.isfinite(deck.lab).all()


def test_many_colours_are_read_one_by_one(path: Path) -> None:
    """Of a file of 2 MB the elements took 14 MB when all of them were held at once."""
    start, rest = FILE.format(**DEFAULTS).split("<cc:ObjectCollection>")
    others = "<cc:Tag/>" * 50  # what else programs write of a colour
    objects = "".join(
        f'<cc:Object Name="P{number}">{others}<cc:ColorValues>{_lab(number % 100, 1, 2)}</cc:ColorValues></cc:Object>\n'
        for number in range(2000)
    )
    path.write_text(f"{start}<cc:ObjectCollection>\n{objects}{rest.split('</cc:Object>')[-1]}")
    alone = read_deck(_write(path.with_name("alone.cxf"), first=_lab(57, 1, 2)))
    tracemalloc.start()
    deck = read_deck(path)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert len(deck) == 2000
    np.testing.assert_array_equal(deck.lab[57], alone.lab[0])
    assert peak < 8_000_000


@pytest.mark.parametrize(
    ("inside", "words"),
    [
        ("<a>" * 100_000 + "</a>" * 100_000, "nested more than 50 deep"),
        ("<a/>" * 100_000, "with more than 5,000 in it"),
        ("<a " + " ".join(f'a{number}=""' for number in range(10_000)) + "/>", "a tag of more than 20,000 characters"),
        (_spectrum("0.5 " * 100_000), "a text of more than 50,000 characters"),
    ],
    ids=["levels", "parts", "attributes", "text"],
)
def test_what_no_colour_needs_is_refused(path: Path, inside: str, words: str) -> None:
    (mistake,) = _mistakes(_write(path, first=inside))
    assert words in mistake


def test_over_a_limit_there_is_one_message(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("matcher.exchange.cxf.MOST_COLOURS", 1)
    (mistake,) = _mistakes(_write(path))
    assert "holds more than 1 colours" in mistake


def test_a_step_that_is_none_is_no_spectrum(path: Path) -> None:
    text = _write(path, first=_spectrum(" ".join(["0.5"] * 16)) + _lab(50, 0, 0)).read_text()
    path.write_text(text.replace('Increment="20"', 'Increment="1e308"'))
    np.testing.assert_allclose(read_deck(path).lab[0], read_deck(_write(path, first=_lab(50, 0, 0))).lab[0])


def test_a_spectrum_in_wide_steps_is_no_colour(path: Path) -> None:
    path.write_text(_write(path, first=_spectrum(" ".join(["0.5"] * 7))).read_text().replace('nt="20"', 'nt="50"'))
    (mistake,) = _mistakes(path)
    assert "object 1: has no colour that can be read" in mistake
    assert "every 20 nm at least" in mistake
