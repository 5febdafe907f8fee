"""One judge: what it takes for a fight, a match and a step, by the numbers stated beside the rules."""

from __future__ import annotations

import numpy as np
import pytest

from matcher.harmony.agreement import LOWEST
from matcher.harmony.tint import tint
from matcher.paints.deck import Deck
from matcher.ranking import judge as judging
from matcher.ranking import weights
from matcher.ranking.givens import gather
from matcher.ranking.judge import (
    Judged,
    accord,
    clash_severity,
    judge,
    judge_measured,
    judge_surface,
    meant_step,
    merge_severity,
    worst_clash,
)
from matcher.ranking.paint_columns import paints_of
from matcher.ranking.question import ask
from matcher.ranking.rank import rank
from matcher.ranking.score import harmony_term, score, undertone_term
from matcher.surfaces.surface import Surface
from tests.ranking.conftest import MakeDeck, MakeSurface


def test_near_misses_come_off_the_agreement_and_one_that_shouts_is_no_kin() -> None:
    """0.45 for two whites that nearly match, 0.40 for one so clean that it dulls the other; a fight stays a fight."""
    paint, fixed = np.random.default_rng(3).uniform((20, -15, -15), (98, 15, 30), (2, 4000, 3))
    paint[:1500, 1:] *= 0.2
    paint[:1500, 0] = fixed[:1500, 0] = 93
    fixed[:1500, 1:] *= 0.2
    found = accord(tint(paint), tint(fixed))
    kin = np.where(found.agreement > 0, found.agreement * (1 - found.cleanness), found.agreement)
    expected = np.maximum(kin - 0.45 * found.near_miss - 0.40 * found.cleanness, LOWEST)
    assert min((found.near_miss > 0.3).mean(), (found.cleanness > 0.3).mean()) > 0.02
    np.testing.assert_allclose(found.total, expected, atol=1e-9)


def test_what_is_judged_is_kept_in_single_precision(kitchen: tuple[Surface, ...], random_deck: Deck) -> None:
    """As the module says: of a million paints twice as much would be kept. Surfaces are handed over in double."""
    givens, paints = gather(kitchen), paints_of(random_deck)
    drawn = np.tile(givens.lab, (2, 1, 1)), np.tile(givens.surface_lab, (2, 1, 1))
    for judged in (judge_measured(paints, givens), judge(paints, givens, *drawn)):
        assert {getattr(one, name).dtype for one in judged for name in one.__slots__} == {np.dtype(np.float32)}


def test_draws_in_rows_and_columns_are_the_same_draws(kitchen: tuple[Surface, ...], random_deck: Deck) -> None:
    """What was drawn outside varies slowest."""
    givens, paints = gather(kitchen), paints_of(random_deck)
    drawn = givens.lab + np.arange(6.0)[:, None, None], givens.surface_lab + np.arange(6.0)[:, None, None]
    for one in judge(paints, givens, *drawn):
        shaped = one.shaped(2, 3)
        for name in one.__slots__:
            for outer, inner in np.ndindex(2, 3):
                np.testing.assert_array_equal(
                    getattr(shaped, name)[:, outer, inner], getattr(one, name)[:, 3 * outer + inner]
                )


def test_a_clash_is_full_where_a_full_one_is() -> None:
    """From -0.15 on, in full at -0.60 and no more beyond."""
    found = clash_severity(np.array([0.6, 0.0, -0.15, -0.375, -0.6, -0.75]))
    np.testing.assert_allclose(found, [0, 0, 0, 0.5, 1, 1], atol=1e-12)


def test_a_merge_is_a_weakness_below_a_third_of_a_step() -> None:
    """Half at the most, less the more of a step there is, and none where a good third of it is."""
    np.testing.assert_allclose(merge_severity(np.array([0.0, 0.1, 0.3, 0.4, 1.0])), [0.5, 0.45, 0.35, 0, 0], atol=1e-12)


def test_what_is_hardly_a_clash_is_none(make_surface: MakeSurface) -> None:
    """Below a twentieth, at the worst surface; of trim no step in lightness is asked."""
    givens = gather([make_surface("floor", (1.0, 55, 14, 28)), make_surface("tile", (1.0, 92, 0, 2))])
    flat = np.zeros(4)
    floor, tile = (
        Judged(flat, flat, flat, np.array(clash)) for clash in ([0.0, 0.045, 0.055, 0.3], [0.045, 0.0, 0.02, 0.055])
    )
    assert worst_clash("trim", [floor, tile], givens).tolist() == [0, 0, 0.055, 0.3]


def test_the_worst_counts_by_four_tenths_beside_the_mean_and_in_harmony_by_two(
    make_surface: MakeSurface, random_deck: Deck
) -> None:
    """Of a surface of two colours against each alone, and of two surfaces: "sit with the vein"; scores of published
    harmony average well over several colours.
    """
    one, other = (1.0, 55, 14, 28), (1.0, 78, -3, 6)

    def judged(*surfaces: Surface) -> tuple[Judged, ...]:
        return judge_measured(paints_of(random_deck), gather(surfaces))

    (first,), (second,) = judged(make_surface("it", one)), judged(make_surface("it", other))
    (both,) = judged(make_surface("it", one, other))
    for name, share in (("undertone", 0.4), ("harmony", 0.2)):
        alone = np.stack([getattr(first, name), getattr(second, name)])
        expected = (1 - share) * alone.mean(axis=0) + share * alone.min(axis=0)
        np.testing.assert_allclose(getattr(both, name), expected, atol=1e-5)
    rooms = ask(["door"], [make_surface("a", one), make_surface("b", other)], random_deck)
    found = score(rooms, "door")
    for name, share, term in (("undertone", 0.4, undertone_term), ("harmony", 0.2, harmony_term)):
        alone = np.stack([getattr(each, name)[:, 0] for each in rooms.judged])
        expected = term((1 - share) * alone.mean(axis=0) + share * alone.min(axis=0))
        np.testing.assert_allclose(getattr(found, name), expected, atol=1e-5)


def test_a_match_counts_less_than_a_step() -> None:
    """0.6 within 2 units (HyAB), gone at twice that; a step of L* and half of colour counts from 3, in full from 11."""
    apart = np.array([0.0, 1, 2, 4, 7, 11, 30])
    level = np.stack([60 + apart, 0 * apart, 0 * apart], axis=1)
    tinted = np.stack([0 * apart + 60, 2 * apart, 0 * apart], axis=1)
    fixed = np.array([[60.0, 0, 0]])
    np.testing.assert_allclose(
        meant_step(level, fixed)[:, 0], [0.6, 0.6, 0.6, 1 / 8**2 * (3 - 2 / 8), 0.5, 1, 1], atol=1e-9
    )
    np.testing.assert_allclose(meant_step(tinted, fixed)[[1, 4, 5], 0], [0.6, 0.5, 1], atol=1e-9)
    half_way = meant_step(np.array([[60.0, 3.0, 0.0]]), fixed)
    assert float(half_way[0, 0]) == pytest.approx(0.3)


def test_what_is_judged_at_once_and_one_by_one_is_the_same(
    kitchen: tuple[Surface, ...], random_deck: Deck, monkeypatch: pytest.MonkeyPatch
) -> None:
    """How much fits into the processor's cache decides how it is reckoned and nothing else."""
    givens, paints = gather(kitchen), paints_of(random_deck)
    together = judge_measured(paints, givens)
    monkeypatch.setattr(judging, "_AT_ONCE", 1)
    apart = judge(paints, givens, givens.lab[None], givens.surface_lab[None])
    for place, (one, other) in enumerate(zip(together, apart, strict=True)):
        alone = judge_surface(
            paints, givens, place, givens.lab[None, givens.columns(place)], givens.surface_lab[None, place]
        )
        for name in one.__slots__:
            np.testing.assert_array_equal(getattr(one, name), getattr(other, name))
            np.testing.assert_array_equal(getattr(one, name), getattr(alone, name))


@pytest.mark.parametrize("role", weights.ROLES)
def test_what_is_flagged_is_what_the_score_counts(role: str, make_surface: MakeSurface, make_deck: MakeDeck) -> None:
    """Two ways to the same number: the worst flag of each paint, and how badly it clashes by the score; surfaces and
    veins that show in part count in part.
    """
    surfaces = [
        make_surface("floor", (0.97, 55, 14, 28), (0.03, 40, 10, -8), visibility=0.9),
        make_surface("rail", (1.0, 80, -4, 8), visibility=0.06),
        make_surface("tile", (1.0, 91, 0, 2), visibility=0.2),
    ]
    rng = np.random.default_rng(21)
    deck = make_deck(*np.column_stack([rng.uniform(30, 96, 150), rng.normal(0, 7, 150), rng.normal(4, 9, 150)]))
    question = ask([role], surfaces, deck)
    found = score(question, role)
    flagged = {
        one.paint: max((clash.severity for clash in one.clashes), default=0.0)
        for one in rank(question, role, top=0, draws=4).candidates
    }
    told = np.array([flagged[row] for row in range(150)])
    np.testing.assert_allclose(told, found.clash, atol=1e-6)
    assert 0.05 < (told > 0).mean() < 1
    assert (told[told > 0] >= 0.05).all()
    merges = [
        clash.kind for one in rank(question, role, top=0, draws=1).candidates for clash in one.clashes
        if clash.kind == "lightness"
    ]  # fmt: skip
    # White trim may be as light as white tile.
    assert bool(merges) == (role not in ("trim", "ceiling"))
