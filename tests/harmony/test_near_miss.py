"""Near misses: common practice, no published source; the numbers are those that the module states beside its rules."""

from __future__ import annotations

import numpy as np
import pytest

from matcher.harmony.near_miss import claims_white, cleanness_clash, near_miss_white
from matcher.harmony.tint import Tint, tint
from tests.harmony.tints import a_tint, soft

# Lightness and chroma at which anything is taken for a white, and a cream's.
WHITE, CREAM = (94.0, 5.0), (94.0, 14.0)


def _tint(lab: tuple[float, float, float]) -> Tint:
    return tint(np.array(lab))


@pytest.mark.parametrize(
    ("first", "second", "fight"),
    [
        ((94.0, 0, 1), (94.0, 0, 1.5), False),  # the same white
        ((93.0, 0, 1), (92.0, 0.5, 8), True),  # cream beside white tile
        ((94.0, -1, -3), (91.0, 0.5, 4), True),  # icy beside soft white
        ((94.0, 0, 1), (76.0, 1, 6), False),  # white beside greige: clearly another colour
        ((94.0, 0, 1), (88.0, 2, 26), False),  # white beside a yellow
    ],
)
def test_two_whites(first: tuple[float, float, float], second: tuple[float, float, float], fight: bool) -> None:
    found = float(near_miss_white(_tint(first), _tint(second)))
    assert found > 0.4 if fight else found < 0.05
    assert found == float(near_miss_white(_tint(second), _tint(first)))


def test_no_white_is_a_near_miss_of_itself() -> None:
    chroma, hue = np.random.default_rng(6).uniform((0, 0), (6, 360), (200, 2)).T
    whites = a_tint(WHITE[0], chroma, hue)
    np.testing.assert_array_equal(near_miss_white(whites, whites), 0)


def test_two_whites_miss_each_other_by_their_distance_of_which_yellowness_is_a_part() -> None:
    """The same below 2 units of a' and b, missed by 6; a step in creaminess alone shows 0.7 of that."""
    a, b = np.random.default_rng(7).uniform(-4, 4, (2, 2, 300))
    b[:, :40] = np.abs(b[:, :40])
    b[0, 40:60] = b[1, 60:80] = 0.0  # a plain white lies on neither side
    first, second = (a_tint(WHITE[0], np.hypot(x, y), np.degrees(np.arctan2(y, x))) for x, y in zip(a, b, strict=True))
    first, second = (
        Tint(each.lightness, x, y, each.chroma, each.hue_deg, each.gate)
        for each, x, y in zip((first, second), a, b, strict=True)
    )
    shown = np.where((b > 0).all(axis=0), 0.7, 1.0) * (b[0] - b[1])
    expected = soft(np.hypot(a[0] - a[1], shown), 2, 6)
    assert (expected > 0).mean() > 0.5
    np.testing.assert_allclose(near_miss_white(first, second), expected, atol=1e-9)


@pytest.mark.parametrize(("step", "share"), [(0, 1), (8, 1), (12, 0.5), (16, 0), (20, 0)])
def test_whites_far_apart_in_lightness_are_no_pair(step: float, share: float) -> None:
    """Within 8 of L* in full, from 16 not at all."""
    pale, other = a_tint(110.0, 5, 300), a_tint(110.0 - step, 5, 120)
    assert float(near_miss_white(pale, other)) == pytest.approx(share)
    assert float(near_miss_white(other, pale)) == pytest.approx(share)


@pytest.mark.parametrize("hue_deg", [0.0, 85.0, 160.0, 250.0])
def test_what_claims_to_be_white(hue_deg: float) -> None:
    """From L* 88 in full and below 82 not; of chroma 6, none by 11; a cream up to 16, and until 25."""
    level = np.array([81.0, 82, 83.5, 85, 86.5, 88, 97])
    np.testing.assert_allclose(claims_white(a_tint(level, 4, hue_deg)), soft(level, 82, 88), atol=1e-12)
    chroma = np.linspace(0, 28, 57)
    upto = (25, 16) if hue_deg == 85 else (11, 6)
    np.testing.assert_allclose(claims_white(a_tint(95, chroma, hue_deg)), soft(chroma, *upto), atol=1e-12)


def test_a_cream_is_yellow() -> None:
    """All within 20 degrees of h' 85 and none beyond 40, as the cosines have it to a degree."""
    off = np.array([-41.0, -40.5, -30, -19.5, 0, 19.5, 30, 40.5, 41])
    found = claims_white(a_tint(*CREAM, 85 + off))
    assert found[[0, 1, 7, 8]].tolist() == [0, 0, 0, 0]
    assert found[3:6].tolist() == [1, 1, 1]
    assert 0 < found[2] < 1
    np.testing.assert_allclose(found, found[::-1], atol=1e-9)


def test_a_clean_yellow_dirties_travertine_and_a_muted_cream_does_not() -> None:
    travertine = _tint((78.0, 4, 14))
    assert float(cleanness_clash(_tint((86.0, 2, 32)), travertine)) > 0.5
    assert float(cleanness_clash(_tint((86.0, 2, 12)), travertine)) < 0.05


def test_a_much_darker_brown_is_no_rival_of_a_beige() -> None:
    assert float(cleanness_clash(_tint((35.0, 10, 20)), _tint((78.0, 4, 14)))) < 0.01


@pytest.mark.parametrize("fixed_chroma", [2.0, 6.0])
def test_cleaner_is_more_chroma_than_reads_as_the_same_family(fixed_chroma: float) -> None:
    """The family reaches to 1.3 times the fixed colour's chroma; 3 more is cleaner, 14 more by far."""
    above = np.linspace(-4, 20, 49)
    paint = a_tint(70, 1.3 * fixed_chroma + above, 80)
    np.testing.assert_allclose(cleanness_clash(paint, a_tint(70, fixed_chroma, 80)), soft(above, 3, 14), atol=1e-8)


@pytest.mark.parametrize("way", [-1, 1])
def test_cleaner_fades_with_a_step_in_lightness_or_hue(way: int) -> None:
    """Lightness: in full within 14 of L*, none from 28. Hue: in full within 35 degrees, none from 60."""
    dull, step, turned = a_tint(60, 4, 10), np.linspace(0, 32, 33), np.linspace(0, 180, 37)
    np.testing.assert_allclose(cleanness_clash(a_tint(60 + way * step, 30, 10), dull), soft(step, 28, 14), atol=1e-8)
    hue = cleanness_clash(a_tint(60, 30, 10 + way * turned), dull)
    np.testing.assert_allclose(hue, soft(turned, 60, 35), atol=1e-8)
    # By how plainly the fixed colour shows.
    assert float(cleanness_clash(a_tint(60, 30, 10), a_tint(60, 4, 10, 0.4))) == pytest.approx(0.4)


def test_rivals_are_two_real_colours_as_light_as_each_other() -> None:
    """Real from a chroma of 10 on and fully by 20, as light within 6 of L*, not from 14; none of them the cleaner."""
    chroma, step = np.linspace(6, 24, 37), np.linspace(0, 18, 37)
    full, other = a_tint(60, 24, 50), a_tint(60 + step, 24, 50)
    fixed = chroma[chroma > 17]  # less, and the paint were the cleaner
    np.testing.assert_allclose(cleanness_clash(full, a_tint(60, fixed, 50)), soft(fixed, 10, 20), atol=1e-8)
    np.testing.assert_allclose(cleanness_clash(a_tint(60, chroma, 50), full), soft(chroma, 10, 20), atol=1e-8)
    np.testing.assert_allclose(cleanness_clash(full, other), soft(step, 14, 6), atol=1e-8)
    np.testing.assert_allclose(cleanness_clash(other, full), soft(step, 14, 6), atol=1e-8)
