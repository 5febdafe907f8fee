"""Two paints in one room: what the roles ask of the step between them, by the numbers beside each rule."""

from __future__ import annotations

import numpy as np
import pytest

from matcher.colorimetry.lrv import lightness_from_lrv
from matcher.harmony.tint import tint
from matcher.ranking.judge import accord
from matcher.ranking.neighbours import (
    RULES,
    Looked,
    hyab_apart,
    looked_fit,
    most_fit,
    most_looked_fit,
    pair_fit,
    through_fit,
)
from tests.harmony.tints import soft

# What two greys are to each other by their undertones: no opinion.
NO_OPINION = 0.85


def _greys(*lrv: float) -> np.ndarray:
    level = np.array([float(lightness_from_lrv(each)) for each in lrv])
    return np.stack([level, np.zeros(len(level)), np.zeros(len(level))], axis=1)


def test_trim_is_lighter_than_the_wall_or_plainly_darker() -> None:
    """From 2 LRV points lighter, clearly so at 10; darker from 12, at 30 a device worth 0.6."""
    lighter, darker = np.array([2.0, 4, 6, 10, 25]), np.array([5.0, 12, 21, 30, 36])
    for wall, lift, expected in (
        (15.0, lighter, soft(lighter, 2, 10)),
        (50.0, -darker, 0.6 * soft(darker, 12, 30)),
    ):
        trim, wall_lab = _greys(*(wall + lift)), _greys(wall)[0]
        np.testing.assert_allclose(pair_fit("trim", trim, "walls", wall_lab), NO_OPINION * expected, atol=1e-6)
        np.testing.assert_allclose(pair_fit("walls", wall_lab, "trim", trim), NO_OPINION * expected, atol=1e-6)


def test_a_ceiling_is_wanted_lighter_and_may_be_as_light() -> None:
    """LRV points from 4 below to 4 above the walls; beside trim no step is asked."""
    lift = np.array([-9.0, -4, -2, 2, 4, 9])
    found = pair_fit("ceiling", _greys(*(15 + lift)), "walls", _greys(15)[0])
    np.testing.assert_allclose(found, NO_OPINION * soft(lift, -4, 4), atol=1e-6)
    np.testing.assert_allclose(pair_fit("ceiling", _greys(30, 60), "trim", _greys(50)[0]), NO_OPINION, atol=1e-6)


@pytest.mark.parametrize(
    ("pair", "ends"),
    [(("cabinets", "walls"), (3, 12)), (("island", "cabinets"), (3, 12)), (("accent", "walls"), (12, 30))],
)
def test_steps_that_read_as_meant(pair: tuple[str, str], ends: tuple[float, float]) -> None:
    """HyAB: steps of L* and of colour add up. Greys, so that L* alone steps."""
    step = np.array([3.0, 5, 8, 12, 20, 30, 40])
    fixed = np.array([35.0, 0, 0])
    found = pair_fit(pair[0], fixed + step[:, None] * [1, 0, 0], pair[1], fixed)
    np.testing.assert_allclose(found, NO_OPINION * soft(step, *ends), atol=1e-6)


def test_a_door_stands_out_from_three_to_thirty_points_and_need_not() -> None:
    """30 LRV points is the rule of BS 8300-2:2018 that visual_contrast.py names; none at all is worth half of it."""
    lift = np.array([-40.0, -30, -16.5, -6, 6, 16.5, 30])
    found = pair_fit("door", _greys(*(45 + lift)), "walls", _greys(45)[0])
    np.testing.assert_allclose(found, NO_OPINION * (0.5 + 0.5 * soft(np.abs(lift), 3, 30)), atol=1e-6)


def test_two_whites_may_be_one_calm_thing() -> None:
    """Off-white doors in an off-white room, by the LRV of the darker: from 64, in full at 74; of greys not."""
    darker = np.array([50.0, 64, 69, 74, 85])
    walls = _greys(*darker)
    doors = walls + np.array([1.0, 0, 0])
    whites = soft(darker, 64, 74)
    found = pair_fit("cabinets", doors, "walls", walls)
    same = soft(1.0, 2.0, 0.5)
    expected = np.maximum(NO_OPINION, same) * 0.85 * np.maximum(whites, same)
    np.testing.assert_allclose(found, expected, atol=1e-5)


@pytest.mark.parametrize("pair", RULES, ids="-".join)
def test_one_colour_in_two_roles_is_a_device(pair: tuple[str, str]) -> None:
    """Worth 0.85 where a step would be better; an accent that is none is worth nothing."""
    for lab in ((50.0, 3, 9), (92.0, 0, 3)):
        expected = {("accent", "walls"): 0, ("ceiling", "trim"): 1}.get(pair, 0.85)
        assert float(pair_fit(pair[0], lab, pair[1], lab)) == pytest.approx(expected, abs=1e-6)


def test_through_a_doorway_walls_are_one_colour_or_plainly_two() -> None:
    """One, or a step from 3 to 12 HyAB units; other trim is worth 0.6 at best, by its undertone."""
    step = np.array([0.0, 0.5, 3, 5, 7.5, 12, 30])[:, None] * [1, 0, 0]
    walls = through_fit("walls", np.array([50.0, 0, 0]) + step, [50.0, 0, 0])
    np.testing.assert_allclose(walls, [1, 1, *(NO_OPINION * soft([3, 5, 7.5, 12, 30], 3, 12))], atol=1e-6)
    trim = through_fit("trim", np.array([50.0, 0, 0]) + step, [50.0, 0, 0])
    np.testing.assert_allclose(trim, [1, 1, *[NO_OPINION * 0.6] * 5], atol=1e-6)


def test_kin_is_worth_more_than_no_opinion_and_a_fight_less() -> None:
    """Up to 1 from an agreement of 0.3 on, in proportion below; a full fight is worth nothing."""
    walls = np.array([70.0, 0.0, 9.0])
    kin, grey, violet = (
        float(pair_fit("cabinets", lab, "walls", walls)) for lab in ((45, 0, 7), (45, 0, 0), (55, 3, -5))
    )
    assert kin > 0.97
    assert grey == pytest.approx(NO_OPINION, abs=1e-6)
    assert violet < 0.5


def test_clear_kin_is_worth_all_and_a_full_fight_nothing() -> None:
    """Between ceiling and trim no step is asked, so undertones alone tell: from an agreement of 0.3 on the whole, a
    little less below; nothing of the worst there is, and something until a clash is full (-0.6). No opinion is worth
    less than kin and more than any fight.
    """
    first, second = np.random.default_rng(9).uniform((40, -14, -14), (90, 14, 24), (2, 6000, 3))
    agreed, found = accord(tint(first), tint(second)).total, pair_fit("ceiling", first, "trim", second)
    apart = hyab_apart(first, second) > 3
    agreed, found = agreed[apart], found[apart]
    assert found[agreed > 0.301].min() == pytest.approx(1, abs=1e-6)
    assert 0.98 < found[(agreed > 0.27) & (agreed < 0.295)].min() <= found[agreed < 0.295].max() < 1
    assert found[agreed < -0.74].max() == 0
    assert found[agreed > -0.59].min() > 0
    assert found[agreed < 0].max() < NO_OPINION < found[agreed > 0.02].min()


@pytest.mark.parametrize("pair", RULES, ids="-".join)
def test_the_quick_bound_is_reached_by_kin(pair: tuple[str, str]) -> None:
    """Of one hue and as muted, far apart in lightness: nothing is left between what two can be worth and are."""
    rng = np.random.default_rng(12)
    hue, chroma = rng.uniform(0, 2 * np.pi, 300), rng.uniform(0.2, 2.5, 300)
    first, second = (
        Looked.at(np.stack([np.full(300, level), chroma * np.cos(hue), chroma * np.sin(hue)], axis=1))
        for level in (75.0, 58.0)
    )
    for one, other in ((first, second), (second, first)):
        fit, bound = looked_fit(pair[0], one, pair[1], other), most_looked_fit(pair, one, other)
        assert (bound >= fit).all()
        np.testing.assert_allclose(bound, fit, atol=0.02)
        assert bound.max() <= 1
        caps = most_fit(*pair, one)
        if caps is not None:
            assert max(each.max() for each in caps) <= 1 + 2e-5
