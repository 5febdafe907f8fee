"""Contrast rules by name. Check values: the formulas as their sources print them, worked by hand."""

from __future__ import annotations

import pytest

from matcher.harmony.visual_contrast import (
    PROJECTING,
    RULES,
    ContrastRule,
    bowman_sapolinski,
    contrast_percent,
    lrv_points,
    michelson,
)

# LRVs; points; percent; Bowman-Sapolinski percent; Michelson percent.
CASES = [
    (80, 50, 30.0, 37.5, 24.2, 23.1),
    (60, 30, 30.0, 50.0, 32.6, 33.3),
    (40, 10, 30.0, 75.0, 50.0, 60.0),
    (20, 5, 15.0, 75.0, 37.5, 60.0),
]


@pytest.mark.parametrize(("first", "second", "points", "percent", "bowman", "michelson_percent"), CASES)
def test_worked_pairs_in_either_order(
    first: float, second: float, points: float, percent: float, bowman: float, michelson_percent: float
) -> None:
    for pair in ((first, second), (second, first)):
        assert float(lrv_points(*pair)) == points
        assert float(contrast_percent(*pair)) == pytest.approx(percent, abs=0.05)
        assert float(bowman_sapolinski(*pair)) == pytest.approx(bowman, abs=0.05)
        assert 100 * float(michelson(*pair)) == pytest.approx(michelson_percent, abs=0.05)


def test_bowman_sapolinski_example_of_as_1428_1() -> None:
    """The published example: beside LRV 20, 30 % needs 7 or 41."""
    rule = next(rule for rule in RULES if rule.name == "bowman-sapolinski")
    assert rule.passes(20, 7)
    assert rule.passes(20, 41)
    assert not rule.passes(20, 8)
    assert not rule.passes(20, 40)


def test_lighter_lrv_must_reach_45_where_the_us_text_asks_it() -> None:
    rule = next(rule for rule in RULES if rule.name == "percent")
    assert rule.passes(60, 10)
    assert not rule.passes(20, 5)


@pytest.mark.parametrize("dark", [0.001, 0.01, 1.0])
def test_ratios_are_the_same_however_dark_both_are(dark: float) -> None:
    """100 (B1 - B2) / B1 and (Y1 - Y2) / (Y1 + Y2) know no size: beside each other 40 and 10 are as 0.4 and 0.1."""
    assert float(contrast_percent(40 * dark, 10 * dark)) == pytest.approx(75)
    assert float(michelson(10 * dark, 40 * dark)) == pytest.approx(0.6)


def test_what_just_reaches_a_rule_meets_it() -> None:
    """Reached is met: "at least 30 points", "the lighter at least 45"."""
    by_name = {rule.name: rule for rule in RULES}
    assert by_name["lrv-points"].passes(50, 20)
    assert by_name["percent"].passes(45, 10)
    assert by_name["michelson"].passes(50, 10)
    assert not by_name["lrv-points"].passes(50, 20.1)
    assert not by_name["percent"].passes(44.9, 10)
    assert not by_name["michelson"].passes(49.9, 10)


@pytest.mark.parametrize(
    ("rule", "lighter", "darker"),
    [
        # By hand, from the LRV of the lighter one and what each source asks for: 30 points, 70 %, 30 %, 0.4, 15 points.
        (RULES[0], 60.0, 60 - 30),
        (RULES[1], 60.0, 60 * (1 - 0.7)),
        (RULES[2], 60.0, (125 * 60 - 30 * 60 - 30 * 25) / (125 + 30)),
        (RULES[3], 60.0, 60 * (1 - 0.4) / (1 + 0.4)),
        (PROJECTING, 60.0, 60 - 15),
    ],
    ids=lambda value: value.name if isinstance(value, ContrastRule) else None,
)
def test_each_rule_is_met_from_what_its_source_asks_for(rule: ContrastRule, lighter: float, darker: float) -> None:
    """BS 8300-2:2018 Annex B with Approved Document M, the US advisory text, AS 1428.1 Appendix B, DIN 32975; half of
    the points for what projects (Approved Document M).
    """
    assert rule.passes(lighter, darker - 0.1)
    assert not rule.passes(lighter, darker + 0.1)


def test_two_blacks_have_no_contrast() -> None:
    assert [float(rule.measure(0, 0)) for rule in RULES] == [0, 0, 0, 0]


def test_every_rule_names_its_source() -> None:
    assert all(rule.source for rule in RULES)
