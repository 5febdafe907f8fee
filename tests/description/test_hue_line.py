"""Lines of one hue against chips that observers judged so, and their ends against an independent library's gamut."""

from __future__ import annotations

import numpy as np
import pytest
from coloraide import Color

from matcher.colorimetry.adaptation import CAT16, adapt
from matcher.colorimetry.colour_library import colour_library
from matcher.colorimetry.munsell import WHITE_C
from matcher.colorimetry.spaces import WHITE_D65, lab_to_lch, xyz_to_lab
from matcher.description.hue_line import along_hue, in_srgb, most_chroma

# Real chips of the Munsell renotation (Newhall, Nickerson & Judd 1943, as colour-science carries it): hue, value and
# two chromas of one hue each. Blues and yellows bend most.
HUES = ("5R", "5YR", "2.5Y", "5Y", "10Y", "5GY", "5G", "5BG", "5B", "10B", "5PB", "7.5PB", "5P", "5RP")


@pytest.fixture(scope="module")
def chips() -> dict[tuple[str, float, float], np.ndarray]:
    """CIELAB D65 of the chips of the renotation at value 7, by hue, value and chroma."""
    colour = colour_library()

    found = {}
    for (hue, value, chroma), (x, y, luminance) in colour.MUNSELL_COLOURS["Munsell Colours Real"]:
        if value == 7 and hue in HUES:
            xyz = np.array([x / y, 1.0, (1 - x - y) / y]) * luminance / 100
            found[(hue, value, chroma)] = xyz_to_lab(adapt(xyz, WHITE_C, WHITE_D65, CAT16))
    return found


def off(lab: np.ndarray, other: np.ndarray) -> float:
    """Return how far apart two colours lie across the hue line, in CIELAB units."""
    return float(np.hypot(*(lab - other)[1:]))


def test_a_line_follows_chips_of_one_hue_where_cielab_and_oklab_leave_them(
    chips: dict[tuple[str, float, float], np.ndarray],
) -> None:
    table, cielab, oklab = [], [], []
    for hue in HUES:
        faint, plain = chips[(hue, 7, 2)], chips[(hue, 7, 6)]
        lightness, chroma, _ = lab_to_lch(plain)
        table.append(off(along_hue(faint, [chroma], lightness)[0], plain))
        straight = faint * chroma / np.hypot(*faint[1:])
        cielab.append(off(straight, plain))
        # coloraide: chroma raised at one OKLCh hue until CIELAB chroma is the chip's.
        start = Color("lab-d65", faint.tolist()).convert("oklch")
        raised = [start.clone().set("c", start["c"] * scale).convert("lab-d65") for scale in np.linspace(1, 5, 400)]
        nearest = min(raised, key=lambda one: abs(float(np.hypot(one["a"], one["b"])) - chroma))
        oklab.append(off(np.array([0.0, nearest["a"], nearest["b"]]), plain))
    assert max(table) < 0.5
    assert np.mean(table) < np.mean(oklab) / 4
    assert np.mean(table) < np.mean(cielab) / 4
    assert max(cielab) > 1.5, "CIELAB hue bends: that is why it is not used"


def test_the_start_of_a_line_is_the_paint_itself() -> None:
    for lab in ([76.0, 1.5, -3.0], [88.99, -1.31, 5.39], [30.0, 20.0, -40.0], [96.0, 0.0, 2.0]):
        found = along_hue(lab, [np.hypot(*lab[1:])], lab[0])[0]
        assert found == pytest.approx(lab, abs=0.01)


@pytest.mark.parametrize("lab", [[76.0, 1.5, -3.0], [95.0, 0.2, 2.0], [20.0, 3.0, 3.0], [60.0, -4.0, 4.0]])
def test_a_line_ends_at_the_edge_of_srgb_by_another_library(lab: list[float]) -> None:
    most = most_chroma(lab, lab[0])
    last, beyond = along_hue(lab, [most, most + 1.0], lab[0])
    assert Color("lab-d65", last.tolist()).convert("srgb").in_gamut(tolerance=0.002)
    assert not Color("lab-d65", beyond.tolist()).convert("srgb").in_gamut(tolerance=0.0002)


def test_what_srgb_holds_by_another_library() -> None:
    draws = np.random.default_rng(5)
    labs = np.column_stack([draws.uniform(1, 99, 400), draws.uniform(-60, 60, 400), draws.uniform(-60, 60, 400)])
    for lab, within in zip(labs, in_srgb(labs), strict=True):
        shown = Color("lab-d65", lab.tolist()).convert("srgb")
        if within:
            assert shown.in_gamut(tolerance=0.0022)
        else:
            assert not shown.in_gamut(tolerance=0.0)
