"""Lookalikes are told by CIEDE2000 (checked against Sharma, Wu & Dalal 2005 in tests/colorimetry); what spares most
pairs that formula must hide none.
"""

from __future__ import annotations

from collections import Counter

import numpy as np
import pytest
from skimage.color import deltaE_ciede2000

from matcher.colorimetry.difference import delta_e_2000
from matcher.ranking import weights
from matcher.ranking.diversity import first_of_sides, representatives, stands_for, varied


@pytest.mark.parametrize(("hue_deg", "largest_chroma"), [((0, 360), 20), ((0, 360), 120), ((240, 300), 110)])
def test_no_lookalike_is_missed(hue_deg: tuple[float, float], largest_chroma: float) -> None:
    """Greys, all colours, and the strong blues in which CIEDE2000 turns its ellipses most."""
    rng = np.random.default_rng(3)
    lightness, chroma = rng.uniform(0, 100, 4000), rng.uniform(0, largest_chroma, 4000)
    angle = np.radians(rng.uniform(*hue_deg, 4000))
    centres = np.stack([lightness, chroma * np.cos(angle), chroma * np.sin(angle)], axis=1)
    # Steps of up to 9 units along a and b: in strong blues two colours so far apart can still be within 2.
    steps = rng.uniform(-1, 1, (4000, 3)) * [4, 9, 9]
    for start in range(0, 4000, 200):
        some = centres[start : start + 200]
        lab = np.concatenate([some, some + steps[start : start + 200]])
        alike = delta_e_2000(lab[:, None], lab) < weights.NEAR_IDENTICAL
        order = np.arange(len(lab))
        kept: list[int] = []
        for row in order.tolist():
            if not alike[kept, row].any():
                kept.append(row)
        assert representatives(lab, order, len(lab)) == kept
        told = stands_for(lab, order, kept)
        assert sorted([*kept, *(row for rows in told.values() for row in rows)]) == order.tolist()


def test_blues_that_ciede2000_takes_for_nearly_one_are() -> None:
    """Where its rotation term stretches the ellipses most, along their long axis, 1.98 apart by scikit-image: up to 13
    units of a* and b*.
    """
    rng = np.random.default_rng(4)
    hue, chroma = np.radians(rng.uniform(268, 276, 200)), rng.uniform(40, 60, 200)
    first = np.stack([rng.uniform(15, 60, 200), chroma * np.cos(hue), chroma * np.sin(hue)], axis=1)
    way = np.radians(rng.uniform(292, 302, 200))
    step = np.stack([0 * way, np.cos(way), np.sin(way)], axis=1)
    size = np.full((200, 1), 10.0)
    for _ in range(40):
        size *= (1.98 / deltaE_ciede2000(first, first + size * step))[:, None]
    np.testing.assert_allclose(deltaE_ciede2000(first, first + size * step), 1.98, atol=1e-3)
    assert size.max() > 12
    for pair in zip(first, first + size * step, strict=True):
        assert representatives(np.array(pair), np.arange(2), 2) == [0]


@pytest.fixture(scope="module")
def crowded() -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """400 paints in a corner of a fan deck where most have lookalikes, which look alike, and 330 of them in an order
    that begins with forty of one colour.
    """
    rng = np.random.default_rng(8)
    lab = rng.uniform((62, -4, -2), (78, 4, 8), (400, 3))
    order = rng.permutation(400)[:330]
    lab[order[:40]] = lab[order[0]] + rng.uniform(-0.3, 0.3, (40, 3))
    return lab, order, delta_e_2000(lab[:, None], lab) < weights.NEAR_IDENTICAL


@pytest.mark.parametrize("count", [1, 2, 5, 12, 60])
def test_representatives_are_taken_one_by_one_however_far_down(
    count: int, crowded: tuple[np.ndarray, np.ndarray, np.ndarray]
) -> None:
    """By brute force: the next of the order that is no lookalike of one taken before."""
    lab, order, alike = crowded
    kept: list[int] = []
    for row in order.tolist():
        if len(kept) < count and not alike[kept, row].any():
            kept.append(row)
    assert representatives(lab, order, count) == kept
    assert len(kept) == count


def test_what_follows_a_crowd_of_lookalikes_is_not_passed_over() -> None:
    """Fifteen of one grey, fifteen of another, then one of each: the five of the order that differ."""
    levels = np.concatenate([np.full(15, 10.0), np.full(15, 20.0), np.arange(30, 100, 5)])
    lab = np.stack([levels, 0 * levels, 0 * levels], axis=1)
    assert representatives(lab, np.arange(len(lab)), 5) == [0, 15, 30, 31, 32]


def test_only_what_may_be_listed_is_told_beside_a_paint(crowded: tuple[np.ndarray, np.ndarray, np.ndarray]) -> None:
    """Lookalikes among those of the order, the best first, each beside the better paint; the best paint of all may be
    one that another stands for.
    """
    lab, order, alike = crowded
    chosen = representatives(lab, order[1:], 30)
    found = stands_for(lab, order, chosen)
    told: set[int] = set()
    for row in chosen:
        mine = [int(each) for each in order if alike[row, each] and each not in told and each not in chosen]
        assert found[row] == tuple(mine)
        told |= set(mine)
    assert int(order[0]) in told
    assert found[chosen[0]][0] == order[0]
    # Those that are in no order are lookalikes as well.
    assert alike[chosen].any(axis=0).sum() > len(told) + len(chosen)


def test_the_first_of_each_side_that_is_not_known_yet() -> None:
    """Hues by the Munsell circle: pinks and yellows are warm, greens green, blues and violets cool, greys neither."""
    grey, pink, yellow, green, blue, violet = (
        (75, 0, 0), (75, 12, 4), (75, 2, 20), (75, -14, 8), (70, -3, -14), (70, 10, -12)
    )  # fmt: skip
    lab = np.array([yellow, pink, yellow, violet, blue, grey, green, green, grey], dtype=float)
    rows = np.arange(1, 9)
    assert first_of_sides(lab, rows, [0]) == [3, 5, 6]
    assert first_of_sides(lab, rows, [0, 4]) == [5, 6]
    assert first_of_sides(lab, rows, [5]) == [1, 3, 6]
    assert first_of_sides(lab, rows, [0, 4, 5, 6]) == []


@pytest.mark.parametrize(("count", "most"), [(1, 1), (2, 1), (3, 2), (8, 3), (10, 4), (24, 9)])
def test_one_side_takes_three_eighths_of_a_list_rounded_up(count: int, most: int) -> None:
    """While others have paints as good. A list is as long as was asked for, its paints in their order."""
    words = (["red"] * 30 + ["green"] * 30 + ["blue"] * 30 + ["neutral"] * 30) * 1
    listed, _ = varied(range(120), words, np.zeros((120, 120), dtype=bool), (), count)
    assert len(listed) == count
    assert listed == sorted(listed)
    assert Counter(words[row] for row in listed)["red"] == most


def test_the_best_of_each_side_is_shown_where_it_is_nearly_as_good() -> None:
    """Half of the list at the most is kept for that; greys are no direction; what is shown ahead of better is told."""
    words = ["yellow"] * 20 + ["neutral"] * 5 + ["blue"] * 5 + ["green"] * 5
    surely = np.triu(np.ones((35, 35), dtype=bool), 1)
    rows = list(range(100, 135))
    plain, _ = varied(rows, words, surely, [], 8)
    assert plain == list(range(100, 108))
    shown, ahead = varied(rows, words, surely, [0, 25, 30], 8)
    assert shown == [100, 101, 102, 103, 104, 105, 125, 130]
    assert ahead == {125, 130}
    assert varied(rows, words, surely, [0, 20, 25], 8)[0] == [*range(100, 107), 125]
    assert varied(rows, words, surely, [0, 25, 30], 8, always=[22])[0] == [*range(100, 105), 122, 125, 130]
    assert varied(rows, words, surely, [0, 25, 30], 4)[0] == [100, 101, 102, 125]
    assert varied(rows, words, surely, [0, 25, 30], 1)[0] == [100]
    # The eighth place of a list of eight is no place of its own; the ninth is.
    assert varied(rows, words, surely, [], 8, always=[8]) == ([*range(100, 107), 108], {108})
    assert varied(rows, words, surely, [], 8, always=[7]) == (list(range(100, 108)), set())
