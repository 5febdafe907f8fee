"""What people type and paste: letters, decimal commas, conditions, several lines; and what cannot be read is said."""

from __future__ import annotations

import time
from contextlib import suppress

import numpy as np
import pytest
from coloraide import Color
from hypothesis import given, settings
from hypothesis import strategies as st

from matcher.errors import ReadingError
from matcher.instrument.reading import understand, understand_bytes

LAB = (55.2, 14.1, 27.9)


def mistake(text: str, **said: str | int) -> str:
    with pytest.raises(ReadingError) as caught:
        understand(text, **said)  # type: ignore[arg-type]
    return str(caught.value)


def kinds(text: str, **said: str | int) -> list[str]:
    return [remark.kind for remark in understand(text, **said).remarks]  # type: ignore[arg-type]


@pytest.mark.parametrize(
    "text",
    [
        "L* 55.2 a* 14.1 b* 27.9",
        "L=55.2, a=14.1, b=27.9",
        "L: 55,2; A: 14,1; B: 27,9",
        "L*: 55.20  a*: +14.10  b*: +27.90  ΔE* 0.3",
        "55,2 14,1 27,9",
        "55.2, 14.1, 27.9",
        "55.2,14.1,27.9",
        "CIELAB (D65/2°) 55.2 14.1 27.9",
        "L*a*b*\t55.2\t14.1\t27.9",
        "L* a* b*\n55.2 14.1 27.9",
        "L* 55.2\na* 14.1\nb* 27.9",
        "55.2\n14.1\n27.9",
        "Floor, spot 12: b* 27.9 a* 14.1 L* 55.2",
        "2 degree observer, illuminant D65\nL 55.2 a 14.1 b 27.9",
        "\ufeffSample\tL*(D65)\ta*(D65)\tb*(D65)\tdE\nfloor\t55,2\t14,1\t27,9\t0,3\n",
        "name;L*;a*;b*\nfloor;55,2;14,1;27,9",
        "L*,a*,b*\n55.2,14.1,27.9",
    ],
)
def test_one_reading_in_many_spellings(text: str) -> None:
    found = understand(text)
    np.testing.assert_allclose(found.lab, LAB, atol=1e-9)
    assert len(found.readings) == 1


def test_three_numbers_strung_by_commas_are_three() -> None:
    np.testing.assert_allclose(understand("55,-14,28").lab, [55, -14, 28], atol=1e-9)


def test_lightness_chroma_and_hue_against_coloraide() -> None:
    lab = Color("lch-d65", [55.2, 31.2, 63.4]).convert("lab-d65").coords()
    np.testing.assert_allclose(understand("L* 55.2 C* 31.2 h 63.4°").lab, lab, atol=1e-6)
    np.testing.assert_allclose(understand("L*C*h° (D65/2) 55.2 31.2 63.4").lab, lab, atol=1e-6)


@pytest.mark.parametrize("text", ["X 27 Y 25 Z 10", "XYZ (D65/2): 27 25 10", "X=0.27 Y=0.25 Z=0.10", "X,Y,Z\n27,25,10"])
def test_tristimulus_values_against_coloraide(text: str) -> None:
    expected = Color("xyz-d65", [0.27, 0.25, 0.10]).convert("lab-d65").coords()
    # coloraide's D65 is x 0.3127 y 0.3290, ours XYZ 95.047 100 108.883: the fourth digit.
    np.testing.assert_allclose(understand(text).lab, expected, atol=0.03)
    assert ("scale assumed" in kinds(text)) == ("0.27" in text)


def test_luminance_and_chromaticity() -> None:
    """x = X / (X + Y + Z) and so on (CIE 015:2018, eq. 7.3)."""
    same = understand("X 27 Y 25 Z 10")
    x, y = 27 / 62, 25 / 62
    np.testing.assert_allclose(understand(f"Y 25 x {x} y {y}").lab, same.lab, atol=1e-9)


def test_lab_under_d50_against_coloraide() -> None:
    expected = (
        Color("lab", list(LAB)).convert("lab-d65").coords()
    )  # CSS lab is CIELAB D50; coloraide adapts by Bradford
    for text, light in (("Lab(D50/2) 55.2 14.1 27.9", None), ("55.2 14.1 27.9", "D50")):
        np.testing.assert_allclose(understand(text, light=light).lab, expected, atol=0.03)


def test_what_was_not_said_is_assumed_aloud_and_widens_the_doubt() -> None:
    said = understand("L* 55.2 a* 14.1 b* 27.9 (D65/2)")
    assert said.remarks == ()
    assert said.sd == pytest.approx(0.5)
    silent = understand("55.2 14.1 27.9")
    assert {"letters assumed", "light assumed", "observer assumed"} == {one.kind for one in silent.remarks}
    assert silent.sd > said.sd
    chosen = understand("L 55.2 a 14.1 b 27.9", light="D65", observer=2)
    assert chosen.remarks == ()
    assert chosen.sd == said.sd


def test_the_other_light_would_not_change_a_grey() -> None:
    """CIELAB of a neutral is 0, 0 under every light: so is the doubt about which."""
    (remark,) = [one for one in understand("L 60 a 0 b 0").remarks if one.kind == "light assumed"]
    assert dict(remark.values)["apart"] == pytest.approx(0, abs=1e-6)


def test_several_lines_are_readings_of_one_surface() -> None:
    """Mean and standard deviation (N - 1) by hand: L* 60, 61, 62 are 61 and 1 (dE00 of 1 L* at 61 is 0.87)."""
    found = understand("L 60 a 0 b 0\nL 61 a 0 b 0\nL 62 a 0 b 0 D65/2")
    assert len(found.readings) == 3
    np.testing.assert_allclose(found.lab, [61, 0, 0], atol=0.01)
    (averaged,) = [one for one in found.remarks if one.kind == "averaged"]
    assert dict(averaged.values)["count"] == 3
    assert dict(averaged.values)["spread"] == pytest.approx(0.87, abs=0.02)


def test_readings_that_lie_far_apart_are_said_with_the_one_that_stands_out() -> None:
    found = understand("L 60 a 1 b 8\nL 60.4 a 1 b 8\nL 40 a 12 b 30\nL 60.2 a 1 b 8", light="D65", observer=2)
    (remark,) = found.remarks
    assert remark.kind == "disagree"
    assert dict(remark.values)["where"] == "line 3"
    assert found.sd > 5


def test_of_two_that_lie_apart_neither_is_blamed() -> None:
    found = understand("L 60 a 1 b 8\nL 50 a 1 b 8", light="D65", observer=2)
    assert [remark.kind for remark in found.remarks] == ["two disagree"]


def test_a_table_has_its_readings_in_rows_and_ignores_the_rest() -> None:
    text = "No\tName\tL*\ta*\tb*\tC*\th\tGloss\n1\tfloor\t55\t14\t28\t31\t63\t12\n2\tfloor\t56\t14\t28\t31\t63\t12"
    np.testing.assert_allclose([r.lab for r in understand(text).readings], [[55, 14, 28], [56, 14, 28]], atol=1e-9)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "no values were found"),
        ("oak, waxed", "no values were found"),
        ("55.2 14.1", "line 1: has 2 numbers where three belong (L* a* b*)"),
        ("L 55.2 a 14.1", "line 1: has L*, a* without b*"),
        ("L 55 a 1 b 2\n\nL 56 a 2", "line 3: has L*, a* without b*"),
        ("L 155 a 14 b 28", "line 1: L* is 155, outside 0 to 100"),
        ("55,2,14,1,27,9", "commas may part the numbers or stand for decimal points"),
        ("LRV 25", "a lightness alone (LRV or Y) is no colour"),
        ("Y 25", "a lightness alone"),
        ("SCI L*;a*;b*;SCE L*;a*;b*\n55;14;28;54;15;29", "column L stands there twice"),
        ("L*\ta*\tb*\n55\t14\tx", "line 2, column b: 'x' is not a number"),
        ("400\t0.2\n" * 20, "line 1: has 2 numbers"),
        ("L 55 a 1 b 2\n" * 501, "more than 500"),
        ("L 55 a 1 b 2 " * 500, "line 1: has 6,500 characters, more than 5,000"),
        ("55 1 2\n" * 20_001, "has 20,001 lines, more than 20,000"),
        ("L 55 a 1 b 2\n" * 40_000, "has 520,000 characters, more than 400,000"),
    ],
)
def test_what_cannot_be_read_is_said(text: str, message: str) -> None:
    assert message in mistake(text)


def test_a_choice_that_the_text_contradicts_is_said() -> None:
    assert "light D50 is written there and D65 was chosen" in mistake("Lab D50 55 14 28", light="D65")
    assert "the 10 degree observer is written there" in mistake("Lab D65/10 55 14 28", observer=2)


def test_an_lrv_beside_the_colour_is_compared_with_it() -> None:
    """Y of L* 55.2 is 23.1 (CIE 015:2018)."""
    assert "lrv disagrees" not in kinds("L 55.2 a 14.1 b 27.9 LRV 23")
    assert "lrv disagrees" in kinds("L 55.2 a 14.1 b 27.9 LRV 45")
    assert "lrv disagrees" in kinds("Lab 55.2 14.1 27.9, LRV 45")


def test_files_in_other_encodings() -> None:
    text = "L* 55,2 a* 14,1 b* 27,9 (D65/2°)"
    for data in (text.encode("utf-16"), text.encode("utf-8-sig"), text.encode("latin-1")):
        found = understand_bytes(data)
        np.testing.assert_allclose(found.lab, LAB, atol=1e-9)
        assert found.remarks == ()
    with pytest.raises(ReadingError, match="is not text"):
        understand_bytes(b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR")


_numbers = st.one_of(st.floats(-200, 200).map(lambda value: f"{value:.2f}"), st.integers(-99999, 99999).map(str))
_words = st.sampled_from(
    [
        *"aChXYZxy,;=:()/%\t\n",
        *["L*", "b*", "LRV", "Lab", "XYZ", "D50", "D65/10", "10°", "observer", "400", "nm", "CGATS.17", "<cc:CxF>"],
        "BEGIN_DATA_FORMAT\n",
    ]
)


@settings(max_examples=300, deadline=None)
@given(st.one_of(st.text(max_size=200), st.lists(st.one_of(_numbers, _words), max_size=60).map(" ".join)))
def test_wild_text_gives_a_colour_or_a_reading_error(text: str) -> None:
    try:
        found = understand(text)
    except ReadingError:
        return
    assert np.isfinite(found.lab).all()
    assert 0 <= found.lab[0] <= 100.5
    assert np.isfinite(found.sd)
    assert found.sd >= 0.5


@settings(max_examples=100, deadline=None)
@given(st.binary(max_size=300))
def test_wild_bytes_give_a_colour_or_a_reading_error(data: bytes) -> None:
    with suppress(ReadingError):
        assert np.isfinite(understand_bytes(data).lab).all()


@settings(max_examples=150, deadline=None)
@given(
    st.tuples(st.floats(0, 100), st.floats(-60, 60), st.floats(-60, 60)),
    st.sampled_from(["L* {} a* {} b* {}", "{}; {}; {}", "{} {} {}", "Lab: {}\t{}\t{}", "L {}\na {}\nb {}"]),
    st.booleans(),
)
def test_what_is_written_is_what_is_read(lab: tuple[float, float, float], spelling: str, commas: bool) -> None:
    written = [f"{value:.2f}" for value in lab]
    text = spelling.format(*(value.replace(".", ",") if commas else value for value in written))
    np.testing.assert_allclose(
        understand(text, light="D65", observer=2).lab, [float(value) for value in written], atol=1e-9
    )


@pytest.mark.parametrize(
    "line",
    ["10" + " " * 4900 + "x", "10" + "\u3000" * 4900 + "x", "L" + "," * 4900 + "x", "LRV" + "," * 4900 + "x"],
    ids=["blanks", "wide blanks", "commas", "commas after LRV"],
)
def test_long_runs_take_time_in_proportion(line: str) -> None:
    """Forty lines: looked through for what may stand between two blanks, each took up to two seconds."""
    begun = time.perf_counter()
    with pytest.raises(ReadingError):
        understand(f"{line}\n" * 40)
    assert time.perf_counter() - begun < 5


def test_a_file_beyond_the_longest_text_is_refused_before_it_is_decoded() -> None:
    with pytest.raises(
        ReadingError, match=r"is more than the 8 MB of a file of readings\. Check that it is the right file"
    ):
        understand_bytes(b"\xff" * 8_000_001)
