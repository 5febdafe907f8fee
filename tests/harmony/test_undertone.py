"""The tint boundary against ISCC-NBS, hue families against the Munsell renotation."""

from __future__ import annotations

import numpy as np
import pytest
from coloraide import Color
from skimage.color import deltaE_ciede2000

from matcher.colorimetry.adaptation import CAT16, adapt
from matcher.colorimetry.colour_library import colour_library
from matcher.colorimetry.iscc_nbs import designation
from matcher.colorimetry.munsell import WHITE_C, luminance_from_value, munsell
from matcher.colorimetry.spaces import WHITE_D65, xyz_to_lab
from matcher.harmony.tint import hue_step, tint, visible_share
from matcher.harmony.undertone import tint_boundary, undertone, undertones, visibility

LETTERS = ("R", "YR", "Y", "GY", "G", "BG", "B", "PB", "P", "RP")
FAMILIES = (
    "red",
    "yellow-red",
    "yellow",
    "green-yellow",
    "green",
    "blue-green",
    "blue",
    "purple-blue",
    "purple",
    "red-purple",
)


@pytest.mark.parametrize("hue_deg", [26.0, 60, 80, 97, 119, 159, 184, 220, 267, 310, 358])
def test_tint_boundary_is_that_of_iscc_nbs_plain_greys(hue_deg: float) -> None:
    """Kelly & Judd 1976 (NBS SP 440): plain greys end at Munsell chroma 0.5, at 0.7 from 7YR to 9Y.

    Munsell chroma by interpolation in the renotation, whose lowest chroma is 1 or 2: a tenth is as good as it gets.
    """
    radius, angle = float(tint_boundary(hue_deg, 75.0)), np.radians(hue_deg)
    hue, _, chroma = munsell(np.array([75.0, radius * np.cos(angle), radius * np.sin(angle)]))
    expected = 0.7 if 17 <= float(hue) <= 29 else 0.5
    assert float(chroma) == pytest.approx(expected, abs=0.1)


def test_tint_boundary_by_value_of_5p_and_10yr() -> None:
    """5P/0.5 at values 4, 5.5, 7.5, 8.5 and 10YR/0.7 likewise, from the renotation, in CIELAB D65."""
    lightness = np.array([40.0, 55.0, 75.0, 85.0])
    np.testing.assert_allclose(tint_boundary(310.0, lightness), [2.45, 1.97, 1.53, 1.35], atol=0.02)
    np.testing.assert_allclose(tint_boundary(80.0, lightness), [4.79, 4.64, 4.74, 4.91], atol=0.02)


def test_tint_boundary_has_no_step_in_hue_or_lightness() -> None:
    """Across the beginning of the circle, and from value to value in proportion."""
    for lightness in (40.0, 75.0):
        assert float(tint_boundary(359.999, lightness)) == pytest.approx(
            float(tint_boundary(0.001, lightness)), abs=1e-3
        )
    ends, middles = tint_boundary(310.0, [40.0, 55, 75, 85]), tint_boundary(310.0, [47.5, 65, 80])
    np.testing.assert_allclose(middles, (ends[1:] + ends[:-1]) / 2, rtol=1e-9)


@pytest.mark.parametrize("lightness", [30.0, 40.0, 55.0, 75.0, 85.0, 95.0])
def test_tint_boundary_of_other_hues_follows_those_two(lightness: float) -> None:
    """The assumption as it stands: in proportion to where a hue's own boundary at L* 75 lies between that of 5P (1.53)
    and of 10YR (4.74); what lies beyond goes with the nearer one, and L* below 40 and above 85 with those.
    """
    purple, yellow = (float(tint_boundary(hue, lightness) / tint_boundary(hue, 75.0)) for hue in (310.0, 80.0))
    for hue_deg in (60.0, 159.0, 184.0, 220.0, 97.0, 88.0):
        own = float(tint_boundary(hue_deg, 75.0))
        expected = np.interp(own, [1.53, 4.74], [purple, yellow])
        assert float(tint_boundary(hue_deg, lightness)) == pytest.approx(own * expected, rel=1e-9)
    assert float(tint_boundary(310.0, lightness)) == float(tint_boundary(310.0, min(max(lightness, 40), 85)))


def test_the_weaker_chroma_may_be_the_more_visible_tint() -> None:
    """Violet-grey, C* 3.4, shows more than greige, C* 6.1; a marble at C* 1 shows not at all."""
    greige, violet, marble = visibility([[76, 1, 6], [76, 1.5, -3], [85, 0, 1]])
    assert greige == pytest.approx(1.27, abs=0.01)
    assert violet == pytest.approx(2.2, abs=0.03)
    assert marble == pytest.approx(0.19, abs=0.01)


def test_gate_is_one_half_at_the_boundary() -> None:
    assert float(visible_share(1.0)) == 0.5


def test_hue_of_greys_is_that_of_ciede2000() -> None:
    """Sharma, Wu & Dalal 2005, eq. 4 to 7: as C* goes to 0, a' goes to 1.5 a; violet-grey h 296.6 becomes h' 306.9."""
    assert float(tint(np.array([76.0, 1.5, -3.0])).hue_deg) == pytest.approx(306.9, abs=0.05)


def test_hue_stretch_of_a_stronger_colour_is_that_of_ciede2000() -> None:
    """Sharma, Wu & Dalal 2005, eq. 4 and 5: at C* 25 the root is that of a half, so G = (1 - 1 / sqrt 2) / 2."""
    found = tint(np.array([60.0, -15.0, 20.0]))
    assert float(found.a_prime) == pytest.approx(-15 * (1.5 - 0.5 / np.sqrt(2)), abs=1e-9)
    assert float(found.hue_deg) == pytest.approx(np.degrees(np.arctan2(20, float(found.a_prime))), abs=1e-9)


@pytest.mark.parametrize("hue_deg", [12.0, 130.0, 205.0, 340.0])
def test_tint_boundary_knows_no_beginning_of_the_hue_circle(hue_deg: float) -> None:
    """A turn more or less is the same hue; and a colour's own boundary is that of its hue as CIE 015 counts it."""
    expected = float(tint_boundary(hue_deg, 66.0))
    assert float(tint_boundary(hue_deg - 360, 66.0)) == pytest.approx(expected, abs=1e-12)
    assert float(tint_boundary(hue_deg + 360, 66.0)) == pytest.approx(expected, abs=1e-12)
    angle = np.radians(hue_deg)
    seen = float(visibility([66.0, 5 * np.cos(angle), 5 * np.sin(angle)]))
    assert seen == pytest.approx(5 / expected, abs=1e-9)


def test_words_and_numbers_of_known_walls() -> None:
    marble, greige, violet, oak = undertones([[85, 0, 1], [76, 1, 6], [76, 1.5, -3], [55, 14, 28]])
    assert (marble.family, marble.strength) == ("neutral", "none")
    assert (greige.family, greige.strength) == ("yellow", "slight")
    assert (violet.family, violet.strength) == ("purple", "clear")
    assert (oak.family, oak.strength) == ("yellow-red", "strong")
    assert oak.hue_deg == pytest.approx(63.43, abs=0.01)
    assert oak.chroma == pytest.approx(31.30, abs=0.01)


def _tinted(hue_deg: float, seen: float, lightness: float = 75.0) -> np.ndarray:
    """The colour of a hue whose tint is so visible."""
    chroma, angle = seen * float(tint_boundary(hue_deg, lightness)), np.radians(hue_deg)
    return np.array([lightness, chroma * np.cos(angle), chroma * np.sin(angle)])


def test_a_purple_has_a_lean_from_about_a_unit_off_a_grey() -> None:
    """CIEDE2000 by scikit-image, where the undertone begins to be called: what is just seen side by side."""
    grey = np.array([75.0, 0, 0])
    apart = np.array([float(deltaE_ciede2000(grey, _tinted(310.0, seen))) for seen in np.arange(0.3, 1.0, 0.01)])
    called = [undertone(_tinted(310.0, seen)).strength != "none" for seen in np.arange(0.3, 1.0, 0.01)]
    assert apart[called].min() == pytest.approx(1.0, abs=0.15)


def test_no_tinted_grey_leans_strongly_and_what_is_past_all_of_them_does() -> None:
    """Kelly & Judd 1976 (NBS SP 440): at value 7.5 a grey of whatever tint ends at two to three times the boundary."""
    greys = 0
    for hue_deg in range(5, 360, 10):
        for seen in (1.4, 2.0, 2.4, 2.7):
            if designation(_tinted(hue_deg, seen)).endswith("gray"):
                greys += 1
                assert undertone(_tinted(hue_deg, seen)).strength in ("slight", "clear")
        past = _tinted(hue_deg, 3.3)
        assert not designation(past).endswith("gray")
        assert undertone(past).strength == "strong"
    assert greys > 100


@pytest.mark.parametrize("lightness", [20.0, 50.0, 80.0, 100.0])
def test_a_neutral_has_no_undertone(lightness: float) -> None:
    assert undertone((lightness, 0.0, 0.0)).family == "neutral"


def _real_chips() -> tuple[np.ndarray, list[str]]:
    """Real chips of the Munsell renotation, value 6 to 9, chroma up to 4, as CIELAB D65; and their hue letters."""
    colour = colour_library()

    chips = [
        chip for chip in colour.MUNSELL_COLOURS["Munsell Colours Real"] if 6 <= chip[0][1] <= 9 and chip[0][2] <= 4
    ]
    x, y, _ = np.array([xyy for _, xyy in chips]).T
    luminance = luminance_from_value(np.array([value for (_, value, _), _ in chips]))
    xyz = np.stack([x / y, np.ones_like(x), (1 - x - y) / y], axis=-1) * luminance[:, None]
    letters = [hue.lstrip("0123456789.") for (hue, _, _), _ in chips]
    return xyz_to_lab(adapt(xyz, WHITE_C, WHITE_D65, CAT16)), letters


def test_family_agrees_with_the_munsell_hue_letter_of_real_chips(capsys: pytest.CaptureFixture[str]) -> None:
    """Munsell renotation (Newhall, Nickerson & Judd 1943, in colour-science); a neighbouring family counts half."""
    labs, letters = _real_chips()
    marks = []
    for found, letter in zip(undertones(labs), letters, strict=True):
        apart = (
            99 if found.family == "neutral" else (FAMILIES.index(found.family) - LETTERS.index(letter)) % len(LETTERS)
        )
        marks.append({0: 1.0, 1: 0.5, 9: 0.5}.get(apart, 0.0))
    with capsys.disabled():
        print(f"\nundertone family, {len(marks)} real Munsell chips, value 6-9, chroma <= 4: {np.mean(marks):.1%}")
    assert len(marks) > 250
    assert np.mean(marks) >= 0.95


def test_hue_and_chroma_are_those_of_the_cie() -> None:
    """By coloraide, all round the circle."""
    labs = np.random.default_rng(12).uniform((20, -30, -30), (90, 30, 30), (60, 3))
    expected = [Color("lab-d65", lab.tolist()).convert("lch-d65").coords() for lab in labs]
    found = undertones(labs)
    np.testing.assert_allclose([one.chroma for one in found], [chroma for _, chroma, _ in expected], rtol=1e-9)
    np.testing.assert_allclose([one.hue_deg for one in found], [hue for _, _, hue in expected], rtol=1e-9)


def test_a_hue_step_is_the_angle_between_two_ways() -> None:
    """By the inner product of a' and b; the same hue is no step, the opposite one 180 degrees."""
    first, second = (tint(labs) for labs in np.random.default_rng(13).uniform(-40, 40, (2, 300, 3)))
    inner = first.a_prime * second.a_prime + first.b * second.b
    sizes = np.hypot(first.a_prime, first.b) * np.hypot(second.a_prime, second.b)
    np.testing.assert_allclose(hue_step(first, second), np.degrees(np.arccos(inner / sizes)), atol=1e-5)
    assert hue_step(first, first).max() == 0


def test_a_tint_is_as_precise_as_its_colour_and_whole_numbers_are_colours_too() -> None:
    lab = np.array([[62.0, -9, 9], [76, 1, 6]])
    single, exact = tint(lab.astype(np.float32)), tint(lab)
    whole = tint(lab.astype(np.int64))
    for name in exact.__slots__:
        assert getattr(single, name).dtype == np.float32
        assert getattr(exact, name).dtype == np.float64
        np.testing.assert_array_equal(getattr(whole, name), getattr(exact, name))
