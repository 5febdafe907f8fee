"""Munsell notation against the chips of the renotation (Newhall, Nickerson & Judd 1943, as colour-science has them)."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from matcher.colorimetry.adaptation import CAT16, adapt
from matcher.colorimetry.colour_library import colour_library
from matcher.colorimetry.munsell import (
    HUE_FAMILIES,
    WHITE_C,
    hue_family,
    hue_number,
    luminance_from_value,
    munsell,
    munsell_notation,
    value_from_luminance,
)
from matcher.colorimetry.spaces import WHITE_D65, Floats, lab_to_xyz, xyz_to_lab


@pytest.fixture(scope="module")
def real_chips() -> tuple[list[str], Floats, Floats]:
    """Return hue in letters, (hue number, value, chroma), and CIELAB D65 of all real chips of the renotation."""
    colour = colour_library()

    chips = colour.MUNSELL_COLOURS["Munsell Colours Real"]
    letters = [hue.lstrip("0123456789.") for (hue, _, _), _ in chips]
    notation = np.array([(hue_number(hue), value, chroma) for (hue, value, chroma), _ in chips])
    x, y, _ = np.array([xyy for _, xyy in chips]).T
    xyz = np.stack([x / y, np.ones_like(x), (1 - x - y) / y], axis=-1) * luminance_from_value(notation[:, 1])[:, None]
    return letters, notation, xyz_to_lab(adapt(xyz, WHITE_C, WHITE_D65, CAT16))


def hue_steps(hue1: Floats, hue2: Floats) -> Floats:
    return np.abs((hue1 - hue2 + 50) % 100 - 50)


def test_renotation_real_chips_round_trip(real_chips: tuple[list[str], Floats, Floats]) -> None:
    _, notation, lab = real_chips
    assert len(lab) == 2734
    hue, value, chroma = munsell(lab)
    np.testing.assert_allclose(value, notation[:, 1], rtol=0, atol=1e-6)
    # Chips that a wall or a floor could have. At value 1 and 2 the renotation runs to purples of chroma 38. Left out:
    # 10Y 4/2 and 2.5R 9/2, where colour-science's two copies of the renotation differ by a digit of x and the
    # neighbouring hues bear out the other copy ("All"), which our table is made from.
    misprinted = [(hue_number("10Y"), 4, 2), (hue_number("2.5R"), 9, 2)]
    kept = np.array([tuple(row) not in misprinted for row in notation])
    assert kept.sum() == 2732
    paintable = kept & (notation[:, 1] >= 3) & (notation[:, 2] <= 12)
    assert paintable.sum() > 1500
    assert hue_steps(hue, notation[:, 0])[paintable].max() < 0.15
    assert np.abs(chroma - notation[:, 2])[paintable].max() < 0.1
    assert np.quantile(hue_steps(hue, notation[:, 0]), 0.99) < 0.5
    assert np.quantile(np.abs(chroma - notation[:, 2]), 0.99) < 0.5


def test_hue_family_is_the_letter_of_light_muted_real_chips(real_chips: tuple[list[str], Floats, Floats]) -> None:
    letters, notation, lab = real_chips
    muted = (notation[:, 1] >= 6) & (notation[:, 2] <= 4)
    assert muted.sum() == 317
    order = ("R", "YR", "Y", "GY", "G", "BG", "B", "PB", "P", "RP")
    score = 0.0
    for index in np.flatnonzero(muted):
        found = HUE_FAMILIES.index(hue_family(float(munsell(lab[index])[0])))
        apart = (found - order.index(letters[index]) + 5) % 10 - 5
        score += 1.0 if apart == 0 else 0.5 if abs(apart) == 1 else 0.0
    assert score / muted.sum() >= 0.99


@pytest.mark.parametrize(
    ("lab", "hue", "value", "chroma"),
    # Computed by colour-science 0.4.7's own inversion, CAT16 to illuminant C, full adaptation.
    [
        ((76, 1.5, -3), "1.0P", 7.53, 1.09),
        ((76, -1, -4), "2.8PB", 7.53, 1.31),
        ((76, 4, -4), "5.8P", 7.53, 1.87),
        ((76, 1, 6), "0.2Y", 7.53, 0.89),
        ((76, 5, 8), "4.2YR", 7.53, 1.77),
        ((76, -4, 4), "8.5GY", 7.53, 0.73),
        ((55, 14, 28), "6.3YR", 5.40, 5.17),
        ((85, 0, 1), "2.4Y", 8.46, 0.13),
        ((60, -1, -3), "1.5PB", 5.89, 0.87),
    ],
)
def test_notation_agrees_with_colour_science(lab: tuple[float, ...], hue: str, value: float, chroma: float) -> None:
    found_hue, found_value, found_chroma = munsell(lab)
    assert hue_steps(found_hue, np.array(hue_number(hue))) < 0.3
    assert found_value == pytest.approx(value, abs=0.01)
    assert found_chroma == pytest.approx(chroma, abs=0.1)


@pytest.mark.parametrize(("value", "percent"), [(1, 1.210), (2, 3.126), (5, 19.77), (7, 43.06), (9, 78.66)])
def test_value_scale_is_astm_d1535_which_scales_the_1943_table_by_0_975(value: float, percent: float) -> None:
    # Newhall, Nickerson & Judd 1943, Table I: per cent of magnesium oxide, of which ASTM D1535 takes 0.975.
    assert 100 * luminance_from_value(value) == pytest.approx(0.975 * percent, rel=1e-3)


def test_value_round_trips() -> None:
    values = np.linspace(0, 10, 77)
    np.testing.assert_allclose(value_from_luminance(luminance_from_value(values)), values, rtol=0, atol=1e-3)


@pytest.mark.parametrize("lightness", [0.0, 5.0, 50.0, 76.0, 97.0, 100.0])
def test_grey_axis_is_neutral(lightness: float) -> None:
    assert munsell_notation([lightness, 0, 0]).startswith("N ")


@pytest.mark.parametrize(
    ("hue", "family"),
    # ASTM D1535: 10R and 0YR are one hue, written 10R.
    [
        (5, "red"),
        (10, "red"),
        (10.1, "yellow-red"),
        (25, "yellow"),
        (75, "purple-blue"),
        (100, "red-purple"),
        (0, "red-purple"),
    ],
)
def test_hue_family_boundaries(hue: float, family: str) -> None:
    assert hue_family(hue) == family


@pytest.mark.parametrize(("value", "end"), [(9.6, 9.0), (0.6, 1.0)])
def test_beyond_the_chips_the_nearest_value_s_spacing_is_used(value: float, end: float) -> None:
    """The renotation ends at values 1 and 9: a colour beyond is as far from grey as one of its chroma and hue angle
    under C is there.
    """
    found = []
    for one in (value, end):
        lightness = xyz_to_lab(luminance_from_value(one) * WHITE_C, WHITE_C)[0]
        xyz = lab_to_xyz([lightness, 6.0, 5.0], WHITE_C)
        found.append(munsell(xyz_to_lab(adapt(xyz, WHITE_C, WHITE_D65, CAT16))))
    assert float(found[0][1]) == pytest.approx(value, abs=0.01)
    assert float(found[0][0]) == pytest.approx(float(found[1][0]), abs=1e-6)
    assert float(found[0][2]) == pytest.approx(float(found[1][2]), rel=1e-6)


@given(st.tuples(st.floats(0, 100), st.floats(-128, 128), st.floats(-128, 128)))
def test_every_colour_has_a_notation(lab: tuple[float, float, float]) -> None:
    hue, value, chroma = (float(part) for part in munsell(lab))
    assert 0 <= hue < 100
    assert 0 <= value <= 10
    assert 0 <= chroma < 120
    assert "/" in munsell_notation(lab)


def test_shapes_are_kept_and_nan_is_refused() -> None:
    hue, value, chroma = munsell(np.full((4, 2, 3), 50.0, dtype=np.float32))
    assert hue.shape == value.shape == chroma.shape == (4, 2)
    with pytest.raises(ValueError, match="finite"):
        munsell([[50.0, 1.0, 1.0], [np.nan, 0.0, 0.0]])


def test_what_would_be_written_with_chroma_nought_is_neutral_and_nothing_else() -> None:
    """ASTM D1535 writes neutrals as N with the value alone; chroma is written to a tenth here."""
    for b in np.linspace(0, 1.2, 60):
        lab = [75.0, 0.0, b]
        written = munsell_notation(lab)
        assert written.startswith("N ") == (float(munsell(np.array(lab))[2]) < 0.05)
        assert not written.endswith("/0.0")
