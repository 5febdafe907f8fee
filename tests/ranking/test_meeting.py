"""A paint beside one surface: the same fights and kinships as in the ranking, and the edge between the two."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from coloraide import Color

from matcher.ranking.meeting import meet, part_of, telling

OAK, MARBLE, STONE = [55.0, 14.0, 28.0], [85.0, 0.0, 1.0], [60.0, -1.0, -3.0]


@pytest.mark.parametrize(
    ("paint", "lrv", "surface", "kind"),
    [
        # Common practice, no published source: violet fights oak and yellow stone, greige goes with cream stone, a true
        # neutral has nothing to fight.
        ([76.0, 1.5, -3.0], 49.9, OAK, "push apart"),
        ([76.0, 1.0, 6.0], 49.9, [80.0, 1.5, 8.0], "kin"),
        ([76.0, 1.5, -3.0], 49.9, MARBLE, "quiet"),
        ([60.3, -0.9, -2.8], 28.5, STONE, "match"),
        # A creamy white beside a clean one looks dirty, and a clean orange dulls the timber.
        ([93.0, 0.5, 9.0], 83.0, [93.5, -0.3, -0.5], "near miss"),
        ([56.0, 38.0, 50.0], 24.0, OAK, "outshines"),
    ],
)
def test_what_two_do_to_each_other(paint: list[float], lrv: float, surface: list[float], kind: str) -> None:
    assert meet(paint, lrv, "it", [part_of(surface, 30.0, "#888888")]).kind == kind


def test_a_lean_that_is_not_known_is_not_spoken_of() -> None:
    part = part_of(OAK, 22.9, "#a07c55", certainty=0.5)
    assert meet([76.0, 1.5, -3.0], 49.9, "floor", [part]).kind == "unsure"


def test_a_failed_match_and_one_that_shouts_are_told_however_a_surface_leans() -> None:
    """Creamy beside clean white and clean orange beside timber (common practice, no source): no lean decides that."""
    white = part_of([93.5, -0.3, -0.5], 84.2, "#ecedee", certainty=0.2)
    oak = part_of(OAK, 22.9, "#a07c55", certainty=0.2)
    assert meet([93.0, 0.5, 9.0], 83.0, "tile", [white]).kind == "near miss"
    assert meet([56.0, 38.0, 50.0], 24.0, "floor", [oak]).kind == "outshines"


def test_of_several_colours_it_is_the_one_that_is_fought() -> None:
    cream, grey = part_of([82.0, 3.0, 14.0], 60.0, "#d6c9b0", share=0.3), part_of(MARBLE, 66.0, "#d5d4d2", share=0.68)
    fleck = part_of([50.0, 30.0, 40.0], 18.0, "#b0603a", share=0.02)
    met = meet([76.0, 1.5, -3.0], 49.9, "stone", [grey, cream, fleck])
    assert met.part is cream
    assert met.kind == "push apart"


def test_of_several_that_are_fought_it_is_the_one_fought_most() -> None:
    """By meeting each of them alone, whichever takes more room."""
    violet = [76.0, 1.5, -3.0]
    cream, oak = part_of([82.0, 3.0, 14.0], 60.0, "#d6c9b0", share=0.5), part_of(OAK, 22.9, "#a07c55", share=0.5)
    alone = {part.hex: meet(violet, 49.9, "it", [part]) for part in (cream, oak)}
    assert {each.kind for each in alone.values()} == {"push apart"}
    sharpest = min(alone.values(), key=lambda each: each.agreement)
    for parts in ((cream, oak), (oak, cream)):
        assert meet(violet, 49.9, "it", parts) == sharpest


def test_colours_may_be_whole_numbers_and_in_any_precision() -> None:
    """A quarter is told exactly by single precision."""
    part = part_of([55, 14, 28], 22.9, "#a07c55", share=0.25)
    assert part == part_of(OAK, 22.9, "#a07c55", share=0.25)
    assert (part.hex, part.lrv, part.share) == ("#a07c55", 22.9, 0.25)
    for paint in ([76, 1, 6], [76.25, 1.5, -3.0]):
        told = meet([float(each) for each in paint], 49.9, "oak", [part])
        for same in (paint, tuple(paint), np.array(paint), np.array(paint, dtype=np.float32)):
            assert meet(same, 49.9, "oak", [part]) == told


def test_a_soft_edge_is_one_of_equal_lightness() -> None:
    soft = meet([76.0, 1.5, -3.0], 49.9, "tile", [part_of([75.0, -4.0, 8.0], 48.3, "#b6bca9")])
    clear = meet([76.0, 1.5, -3.0], 49.9, "tile", [part_of([60.0, -4.0, 8.0], 28.1, "#8d9382")])
    assert soft.soft_edge
    assert not clear.soft_edge


def test_the_one_that_tells_most_comes_first() -> None:
    met = [meet([76.0, 1.5, -3.0], 49.9, name, [part_of(lab, 40.0, "#888888")]) for name, lab in
           (("marble", MARBLE), ("oak", OAK), ("stone", STONE))]  # fmt: skip
    assert telling(met)[0].surface == "oak"
    assert np.argmin([one.agreement for one in met]) == 1


def test_going_together_is_leaning_the_same_way_or_calming() -> None:
    """Sage calms an orange timber; greige is of its own kind with cream. Common practice, no published source."""
    sage = meet([75.0, -6.0, 8.0], 48.0, "floor", [part_of(OAK, 22.9, "#a07c55")])
    greige = meet([76.0, 1.0, 6.0], 49.9, "stone", [part_of([80.0, 1.5, 8.0], 57.0, "#cbc5b9")])
    assert sage.calms
    assert sage.kind == greige.kind == "kin"
    assert not greige.calms


def test_what_is_hardly_to_be_seen_fights_hardly() -> None:
    """A fleck is seen from a share of 1 % on and in full from 6 %: of one colour and another as far as it shows."""
    violet = [76.0, 1.5, -3.0]
    kinds = [meet(violet, 49.9, "it", [part_of(OAK, 22.9, "#a07c55", share=share)]).kind for share in (0.013, 0.06, 1)]
    assert kinds == ["quiet", "push apart", "push apart"]


def test_a_surface_of_flecks_alone_is_its_main_one() -> None:
    """And what takes just as much room as is seen in full is heeded."""
    grey, cream = [85.0, 0.0, 1.0], [82.0, 3.0, 14.0]
    flecks = [part_of(lab, 60.0, "#888888", share=share) for lab, share in ((grey, 0.05), (cream, 0.045))]
    assert meet([76.0, 1.5, -3.0], 49.9, "terrazzo", flecks).part is flecks[0]
    seen = [replace(flecks[0], share=0.94), replace(flecks[1], share=0.06)]
    assert meet([76.0, 1.5, -3.0], 49.9, "terrazzo", seen).part is seen[1]


def test_a_colour_by_itself_is_all_of_it_and_as_sure_as_stated() -> None:
    part = part_of(OAK, 22.9, "#a07c55")
    assert (part.share, part.certainty) == (1, 1)


def test_fights_come_before_kin_and_kin_before_what_is_quiet_however_strong() -> None:
    fight = meet([76.0, 1.5, -3.0], 49.9, "oak", [part_of(OAK, 22.9, "#a07c55")])
    kin = meet([76.0, 1.0, 6.0], 49.9, "stone", [part_of([80.0, 1.5, 8.0], 57.0, "#cbc5b9")])
    match = meet(STONE, 28.1, "match", [part_of(STONE, 28.1, "#8d9382")])
    assert [one.kind for one in (fight, kin, match)] == ["push apart", "kin", "match"]
    ordered = [replace(fight, agreement=-0.2), replace(kin, agreement=0.3), replace(match, agreement=0.55)]
    assert telling(ordered[::-1]) == tuple(ordered)


def test_what_is_said_in_numbers_of_the_two() -> None:
    """LRV points apart, paint less surface; an edge is soft to 3 points either way; CIEDE2000 by coloraide."""
    paint, lab = [76.0, 1.0, 6.0], [74.0, -1.0, 9.0]
    for lrv, step, soft in ((52.8, 2.9, True), (47.0, -2.9, True), (53.0, 3.1, False), (46.8, -3.1, False)):
        met = meet(paint, lrv, "tile", [part_of(lab, 49.9, "#888888")])
        assert met.lrv_step == pytest.approx(step)
        assert met.soft_edge is soft
        expected = Color("lab-d65", paint).delta_e(Color("lab-d65", lab), method="2000")
        assert met.de00 == pytest.approx(expected, abs=1e-4)
