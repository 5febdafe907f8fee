"""Hunt's proximal field: a published check value, an independent library, and what the trade sees beside oak."""

from __future__ import annotations

import time
import warnings

import numpy as np
import pytest
from coloraide import Color
from numpy.typing import NDArray

from matcher.colorimetry.colour_library import colour_library
from matcher.colorimetry.spaces import WHITE_D65, lab_to_xyz
from matcher.harmony.induced import (
    STRONG,
    WEAK,
    accounts_agree,
    adjusted_white,
    brings_out,
    induced_shift,
    push_visibility,
)
from matcher.harmony.tint import tint_boundary

OAK, NAVY, BLACK, SAGE = [55.0, 14.0, 28.0], [22.0, 2.0, -16.0], [0.0, 0.0, 0.0], [65.0, -6.0, 10.0]
GREY = [76.0, 0.0, 0.0]


def hue_deg(shift: NDArray[np.floating]) -> float:
    return float(np.degrees(np.arctan2(shift[2], shift[1])) % 360)


def test_adjusted_white_hunt_1991_check_value() -> None:
    """The numbers that a public implementation of Hunt's model gives for its adjusted reference white, eight digits."""
    found = adjusted_white(
        [97.37325710, 101.54968030, 108.48208255],
        [98.07193550, 101.13755950, 100.0],
        [0.99984505, 0.99983840, 0.99982674],
        0.1,
    )
    np.testing.assert_allclose(found, [88.07927426, 91.85695535, 98.12771719], rtol=0, atol=5e-9)


def test_adjusted_white_agrees_with_colour_science_over_a_random_grid() -> None:
    # Imported so first, which silences the notice that matplotlib is absent.
    colour_library()
    from colour.appearance.hunt import adjusted_reference_white_signals

    rng = np.random.default_rng(3)
    white, beside, behind = rng.uniform(0.02, 1.2, (3, 200, 3))
    for p in (-0.9, WEAK, STRONG, 0.0, 0.4, np.float32(-0.15)):
        theirs = adjusted_reference_white_signals(beside, behind, white, float(p))
        np.testing.assert_allclose(adjusted_white(white, beside, behind, p), theirs, rtol=1e-12)


def test_a_grey_beside_oak_goes_the_way_of_the_whole_hunt_model() -> None:
    """colour-science's XYZ_to_Hunt. It divides the proximal field by its bleach factors (within 0.02 % of 1), where the
    published formula divides by the background: so it is handed the field over that background.
    """
    colour_library()
    import colour.appearance.hunt as hunt

    luminance = float(lab_to_xyz(OAK)[1])
    to_cones = hunt.MATRIX_XYZ_TO_HPE
    over = (to_cones @ lab_to_xyz(OAK)) / (to_cones @ (WHITE_D65 * luminance))
    white = 100 * WHITE_D65
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it says which of its many settings were left at their defaults

        def looks(lab: list[float], field: NDArray[np.floating], p: float) -> complex:
            seen = hunt.XYZ_to_Hunt(
                100 * lab_to_xyz(lab), white, 0.2 * white, 64.0, hunt.VIEWING_CONDITIONS_HUNT["Normal Scenes"],
                CCT_w=6504.0, XYZ_p=np.linalg.solve(to_cones, field), p=p,
            )  # fmt: skip
            return complex(seen.C * np.exp(1j * np.radians(seen.h)))

        # At equal lightness nothing is taken off: the whole model must see our shifted grey as it sees the grey by oak.
        grey = [OAK[0], 0.0, 0.0]
        shifted = (np.array(grey) + induced_shift(grey, OAK, STRONG)).tolist()
        theirs, ours = looks(grey, over, STRONG), looks(shifted, np.ones(3), 0.0)
    assert abs(theirs) > 3
    assert ours == pytest.approx(theirs, rel=0.03)


def test_oak_pushes_a_grey_towards_blue_and_a_navy_towards_yellow() -> None:
    """Each towards its opposite, less where lightness parts them (common practice, no published source)."""
    by_oak = induced_shift(GREY, OAK, WEAK)
    assert 230 < hue_deg(by_oak) < 275
    assert 45 < hue_deg(induced_shift([30.0, 0.0, 0.0], NAVY, WEAK)) < 110
    pale = push_visibility([92.0, 0.0, 0.0], induced_shift([92.0, 0.0, 0.0], OAK, WEAK))
    assert push_visibility(GREY, by_oak) > 1 > pale
    # A navy cupboard is too dark to shift a white wall.
    assert push_visibility([92.0, 0.0, 0.0], induced_shift([92.0, 0.0, 0.0], NAVY, STRONG)) < 0.1


def test_a_shift_grows_with_p_and_stays_a_fraction_of_the_surface() -> None:
    weak, strong = (np.hypot(*induced_shift(SAGE, OAK, p)[1:]) for p in (WEAK, STRONG))
    assert 0 < weak < strong < 0.25 * np.hypot(*OAK[1:])
    assert strong == pytest.approx(2 * weak, rel=0.1)


@pytest.mark.parametrize("surface", [BLACK, [0.0, 30.0, -20.0], [50.0, 0.0, 0.0], [100.0, 0.0, 0.0]])
def test_black_and_grey_surfaces_shift_nothing(surface: list[float]) -> None:
    assert np.abs(induced_shift(GREY, surface, STRONG)).max() < 0.02


@pytest.mark.parametrize("colour", [BLACK, [100.0, 60.0, -60.0], [30.0, 120.0, -120.0], [5.0, -100.0, 100.0]])
def test_colours_outside_the_gamut_stay_finite(colour: list[float]) -> None:
    for paint, surface in ((colour, OAK), (GREY, colour), (colour, colour)):
        shift = induced_shift(paint, surface, STRONG)
        assert np.isfinite(shift).all()
        assert np.isfinite(push_visibility(paint, shift))


def test_a_grey_shift_is_as_visible_as_its_chroma_over_the_tint_boundary() -> None:
    """The boundary is that of ISCC-NBS (Kelly & Judd 1976), checked in test_undertone.py."""
    for hue in (20.0, 90.0, 150.0, 270.0, 310.0):
        angle = np.radians(hue)
        edge = float(tint_boundary(hue, GREY[0]))
        shift = np.array([0.0, edge * np.cos(angle), edge * np.sin(angle)])
        assert push_visibility(GREY, shift) == pytest.approx(1.0)
        assert push_visibility([76.0, 10.0, 25.0], shift) < 1


def test_the_two_accounts_of_the_direction_agree_beside_greys_and_part_beside_stronger_paints() -> None:
    assert accounts_agree(GREY, OAK, induced_shift(GREY, OAK, WEAK))
    stronger = [55.0, 20.0, 45.0]
    assert not accounts_agree(stronger, OAK, induced_shift(stronger, OAK, WEAK))


def test_a_hundred_thousand_paints_at_once() -> None:
    labs = np.random.default_rng(2).uniform([10, -20, -20], [95, 20, 20], (100_000, 3))
    began = time.perf_counter()
    there, back = induced_shift(labs, OAK, WEAK), induced_shift(OAK, labs, WEAK)
    assert time.perf_counter() - began < 1.0
    np.testing.assert_allclose(there[17], induced_shift(labs[17], OAK, WEAK), atol=1e-12)
    np.testing.assert_allclose(back[17], induced_shift(OAK, labs[17], WEAK), atol=1e-12)


def test_lightness_stays_and_a_lean_is_brought_out_by_a_shift_along_it() -> None:
    """As the functions say: no shift in L*, and a grey has no lean that could be brought out."""
    shift = induced_shift(SAGE, OAK, STRONG)
    assert shift[0] == 0
    assert np.hypot(shift[1], shift[2]) > 0
    assert brings_out(shift, shift)
    turned = np.radians([40.0, 50.0, 180.0])
    ways = np.stack([np.full(3, 60.0), np.cos(turned), np.sin(turned)], axis=-1)
    assert brings_out(ways, np.array([0.0, 3.0, 0.0])).tolist() == [True, False, False]
    assert not brings_out(GREY, shift)


def test_faint_surfaces_turn_a_grey_by_a_tenth_to_a_fifth_of_their_own_colour() -> None:
    """The formula to first order, by its derivative: a signal q = 1 + e of the surface becomes 1 + p e of the grey."""
    hue = np.radians(np.arange(0, 360, 30.0))
    faint = np.stack([np.full(12, 60.0), 0.5 * np.cos(hue), 0.5 * np.sin(hue)], axis=-1)
    for p, part in ((WEAK, 0.1), (STRONG, 0.2)):
        found = induced_shift([60.0, 0.0, 0.0], faint, p)
        np.testing.assert_allclose(found[:, 1:], -part * faint[:, 1:], atol=0.002)


def test_a_step_in_lightness_leaves_what_the_module_says() -> None:
    """1 - tanh^2 of the logarithm of the ratio of luminances, by numpy: of greys, whose shift is in proportion to L*'s
    own scale (CIE 015: f(Y) = Y^(1/3)), so that the step alone is left when that is taken off.
    """
    faint, paints = [60.0, 0.3, 0.4], np.array([30.0, 50, 60, 75, 95])[:, None] * [1.0, 0, 0]
    sizes = np.hypot(*induced_shift(paints, faint, WEAK)[:, 1:].T)
    luminance = lab_to_xyz(paints)[:, 1]
    left = 1 - np.tanh(np.log(luminance / float(lab_to_xyz(faint)[1]))) ** 2
    np.testing.assert_allclose(sizes / sizes[2], left * np.cbrt(luminance / luminance[2]), rtol=1e-3)


@pytest.mark.parametrize("paint", [[0.0, 0.0, 0.0], [0.5, 0.3, -0.2], [2.0, 3.0, -4.0]])
def test_beside_black_nothing_shifts_however_dark(paint: list[float]) -> None:
    """As the function says; where there is no light there is no colour to turn round."""
    assert np.abs(induced_shift(paint, BLACK, STRONG)).max() < 1e-9
    assert np.abs(induced_shift(paint, [0.3, 0.5, -0.5], STRONG)).max() < 1e-9


def test_shifts_are_as_visible_as_an_independent_ciede2000_has_them() -> None:
    """coloraide's CIEDE2000 of the step, over that of a tint of its hue that just shows; one paint, several shifts."""
    paint, shifts = [62.0, 18.0, 30.0], np.array([[0.0, -3.0, -4.0], [0.0, 5.0, 1.0], [0.0, 0.5, -6.0]])

    def apart(first: NDArray[np.floating], second: NDArray[np.floating]) -> float:
        return Color("lab-d65", first.tolist()).delta_e(Color("lab-d65", second.tolist()), method="2000")

    expected = []
    for shift in shifts:
        grey, way = np.array([62.0, 0, 0]), shift / np.hypot(*shift[1:])
        edge = float(tint_boundary(hue_deg(shift), 62.0))
        expected.append(apart(np.array(paint), paint + shift) / apart(grey, grey + edge * way))
    np.testing.assert_allclose(push_visibility(paint, shifts), expected, rtol=1e-4)


def test_two_ways_are_the_same_whatever_their_sizes() -> None:
    """An angle knows no size: within 60 degrees of away from the surface, and within 45 of the lean."""
    turned = np.radians([0.0, 44, 46, 59, 61, 120, 180])
    for size in (1e-3, 1.0, 50.0):
        ways = size * np.stack([np.zeros(7), np.cos(turned), np.sin(turned)], axis=-1)
        lean = np.array([70.0, 0.02, 0.0])
        assert brings_out(lean, ways).tolist() == [True, True, False, False, False, False, False]
        agree = accounts_agree([70.0, 0.01, 0.0], [60.0, -0.01, 0.0], ways)
        assert agree.tolist() == [True, True, True, True, False, False, False]
