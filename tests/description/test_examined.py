"""One paint examined: words that hold, strips that stay what they say, honest ends."""

from __future__ import annotations

import numpy as np
import pytest
from coloraide import Color

from matcher.colorimetry.spaces import labs_to_hex
from matcher.description.body_word import body_word
from matcher.description.depth import depth_of
from matcher.description.examined import examine
from matcher.description.lean import lean_of
from matcher.description.plain_word import plain_word
from matcher.description.reach import reach_of
from matcher.description.turned_up import ENOUGH, PLAIN

# Check colours with their Munsell and ISCC-NBS names by illuminant C (Kelly & Judd 1976); what each leans to is what
# those names say of it.
KNOWN = [
    ([76.0, 1.5, -3.0], "violet", "grey"),  # light purplish gray, 1.0P
    ([76.0, -1.0, -4.0], "blue", "grey"),  # light bluish gray, 2.8PB
    ([76.0, -4.0, 4.0], "yellow-green", "grey"),  # light greenish gray, 8.5GY; on the border to green
    ([76.0, 5.0, 8.0], "orange", "beige"),  # grayish yellowish pink, 4.2YR
    ([76.0, 1.0, 6.0], "yellow", "grey"),  # yellowish gray, 0.2Y
]


@pytest.mark.parametrize(("lab", "word", "body"), KNOWN)
def test_a_near_neutral_is_called_by_what_it_turns_into(lab: list[float], word: str, body: str) -> None:
    found = examine(lab)
    assert found.body == body
    assert word in (found.lean.word, found.lean.other)
    assert found.lean.kind in ("sure", "between")
    assert found.lean.certainty >= 0.9


@pytest.mark.parametrize(
    "lab", [lab for lab, _, _ in KNOWN] + [[92.0, -0.3, -3.0], [30.0, 2.0, -2.5], [96.5, 2.0, 1.5]]
)
def test_a_strip_starts_at_the_paint_and_is_turned_up_within_srgb(lab: list[float]) -> None:
    strip = examine(lab).strip
    assert strip.steps[0] == pytest.approx(lab, abs=0.01)
    chromas = np.hypot(strip.steps[:, 1], strip.steps[:, 2])
    assert (np.diff(chromas) > 1).all()
    assert strip.seen >= ENOUGH * 0.95
    assert strip.seen <= PLAIN * 1.1
    # coloraide, an independent library: every step is in sRGB, so that nothing is clipped, and says so in 8 bits.
    for step, text in zip(strip.steps, labs_to_hex(strip.steps), strict=True):
        exact = Color("lab-d65", step.tolist()).convert("srgb")
        assert exact.in_gamut(tolerance=0.002)
        assert [255 * part for part in exact.coords()] == pytest.approx(
            [255 * part for part in Color(text).coords()], abs=0.51
        )
    if strip.lightness_step == 0:
        assert np.ptp(strip.steps[:, 0]) < 1e-9


def test_a_white_too_light_for_a_screen_is_turned_up_darker() -> None:
    strip = examine([96.5, 2.0, 1.5]).strip
    assert strip.lightness_step < 0
    assert abs(strip.lightness_step) < 12


@pytest.mark.parametrize("lab", [[0.0, 0.0, 0.0], [100.0, 0.0, 0.0], [76.0, 0.0, 0.0], [60.0, 0.3, -0.2]])
def test_a_true_grey_leans_nowhere(lab: list[float]) -> None:
    found = examine(lab)
    assert found.lean.kind == "neutral"
    assert found.grey_de00 < 1


def test_what_is_hardly_there_is_not_pronounced() -> None:
    """At the border of a lean and none the word gets less sure, and at last is not said."""
    kinds = [lean_of(np.array([76.0, 0.45 * size, -0.9 * size]), 76.0).kind for size in (0.3, 0.85, 1.4, 3.5)]
    assert kinds[0] == "neutral"
    assert kinds[1] in ("unsure", "likely")
    assert kinds[3] == "sure"
    certain = [lean_of(np.array([76.0, 0.45 * size, -0.9 * size]), 76.0).certainty for size in (1.0, 1.5, 3.5)]
    assert certain == sorted(certain)


@pytest.mark.parametrize(
    ("lab", "end"), [([44.0, 60.0, 40.0], "already plain"), ([32.3, 79.2, -107.9], "already plain"),
                     ([60.0, -80.0, 40.0], "already plain"), ([99.9, 1.5, -2.0], "no room")]
)  # fmt: skip
def test_clean_and_impossible_colours_are_not_turned_up(lab: list[float], end: str) -> None:
    found = examine(lab)
    assert found.strip.end == end
    assert not len(found.strip.steps)


def test_a_colour_that_no_screen_shows_says_by_how_much() -> None:
    inside, outside = examine([76.0, 1.5, -3.0]), examine([60.0, -80.0, 40.0])
    assert inside.on_screen
    assert inside.screen_de00 < 0.3
    assert not outside.on_screen
    # coloraide's CIEDE2000 of the colour and of what is shown.
    apart = Color("lab-d65", [60.0, -80.0, 40.0]).delta_e(Color(outside.colour.hex), method="2000")
    assert outside.screen_de00 == pytest.approx(apart, abs=0.05)


def test_depth_by_lrv() -> None:
    """Light, mid and deep: common practice, no published source."""
    assert [depth_of(lrv) for lrv in (0, 10, 28, 50, 60, 70, 80, 92, 100)] == [
        "near black", "deep", "mid to deep", "mid", "light to mid", "light", "nearly white", "white", "white",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("lrv", "chroma", "away", "goes"),
    [
        # Common practice, no published source.
        (70, 4, None, "whole"),
        (50, 4, 0.0, "whole"),
        (50, 4, 1.0, "with light"),
        (38, 4, -1.0, "whole"),
        (38, 4, None, "with light"),
        (10, 4, -1.0, "accent"),
        (60, 45, None, "accent"),
        (60, 24, None, "with light"),
    ],
)
def test_how_far_a_paint_goes(lrv: float, chroma: float, away: float | None, goes: str) -> None:
    assert reach_of(lrv, chroma, away).goes == goes


def test_plain_words_follow_the_hue_names_of_iscc_nbs() -> None:
    """Bluish green ends at 10BG, blue at 7PB (Kelly & Judd 1976); a dark orange is brown there."""
    assert [plain_word(hue, 70.0) for hue in (5, 15, 25, 35, 45, 55, 65, 75, 83, 95, 99.5)] == [
        "pink", "orange", "yellow", "yellow-green", "green", "blue-green", "blue", "blue", "violet", "mauve",
        "pink",
    ]  # fmt: skip
    assert [plain_word(hue, 30.0) for hue in (5, 15, 30, 83)] == ["red", "brown", "olive", "violet"]


def test_bodies() -> None:
    assert body_word("black", 18.0, 0.4, 10.0, 2.5) == "near-black"
    assert body_word("pale yellow", 92.0, 14.0, 92.0, 81.0) == "cream"
    assert body_word("grayish green", 60.0, 9.0, 140.0, 28.0) == "green"
    assert body_word("white", 96.0, 0.3, 10.0, 90.0) == "white"
    assert body_word("yellowish white", 88.0, 4.0, 90.0, 72.0) == "off-white"
