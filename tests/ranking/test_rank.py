"""Properties every shortlist must have, whatever the weights."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from matcher.colorimetry.difference import delta_e_2000
from matcher.errors import RequestError
from matcher.harmony.undertone import undertones
from matcher.paints.deck import Deck
from matcher.ranking import weights
from matcher.ranking.rank import prepare, rank_role, score_role, setting
from matcher.ranking.terms import Wishes, paints_of, role_fit
from matcher.surfaces.model import Surface

MakeSurface = Callable[..., Surface]
MakeDeck = Callable[..., Deck]


@pytest.mark.parametrize("role", weights.ROLES)
def test_sorted_ranked_and_within_bounds(role: str, kitchen: tuple[Surface, ...], random_deck: Deck) -> None:
    listed = rank_role(
        role, kitchen, random_deck, facing="N", lamps_k=2700, warmth="warm", lrv_range=(45, 80)
    ).candidates
    scores = [candidate.score for candidate in listed]
    assert scores == sorted(scores, reverse=True)
    assert [candidate.rank for candidate in listed] == list(range(1, 9))
    for candidate in listed:
        terms = candidate.terms
        for value in (terms.harmony, terms.undertone, terms.contrast, terms.light, terms.wishes, candidate.score):
            assert 0 <= value <= 1
        assert 0 <= candidate.stability <= 1
        for clash in candidate.clashes:
            assert 0 <= clash.severity <= 1
            assert 0 <= clash.probability <= 1


def test_same_inputs_same_list_to_the_last_bit(kitchen: tuple[Surface, ...], random_deck: Deck) -> None:
    first = rank_role("walls", kitchen, random_deck, seed=4)
    assert first == rank_role("walls", kitchen, random_deck, seed=4)


def test_order_of_surfaces_and_colours_changes_nothing(kitchen: tuple[Surface, ...], random_deck: Deck) -> None:
    turned = tuple(replace(surface, colours=surface.colours[::-1]) for surface in kitchen[::-1])
    assert rank_role("walls", kitchen, random_deck) == rank_role("walls", turned, random_deck)


def test_order_of_the_deck_changes_no_score(kitchen: tuple[Surface, ...], random_deck: Deck) -> None:
    shuffle = np.random.default_rng(0).permutation(len(random_deck))
    turned = replace(random_deck, lab=random_deck.lab[shuffle], lrv=random_deck.lrv[shuffle])
    straight = score_role("walls", prepare(kitchen, random_deck), setting()).score
    np.testing.assert_array_equal(score_role("walls", prepare(kitchen, turned), setting()).score, straight[shuffle])


def test_scaling_all_shares_or_visibilities_changes_nothing(kitchen: tuple[Surface, ...], random_deck: Deck) -> None:
    scaled = tuple(
        replace(
            surface,
            visibility=surface.visibility * 4,
            colours=tuple(replace(colour, share=colour.share / 2) for colour in surface.colours),
        )
        for surface in kitchen
    )
    plain = score_role("walls", prepare(kitchen, random_deck), setting()).score
    np.testing.assert_allclose(score_role("walls", prepare(scaled, random_deck), setting()).score, plain, atol=1e-6)


@settings(max_examples=40, deadline=None)
@given(
    share=st.floats(0.01, 0.3),
    paint=st.tuples(st.floats(55, 90), st.floats(-8, 8), st.floats(-8, 14)),
    vein=st.tuples(st.floats(30, 80), st.floats(-15, 15), st.floats(-15, 25)),
)
def test_a_vein_that_clashes_worse_than_the_field_never_raises_the_undertone_term(
    make_surface: MakeSurface,
    make_deck: MakeDeck,
    share: float,
    paint: tuple[float, ...],
    vein: tuple[float, ...],
) -> None:
    deck = make_deck(paint)
    field = (75.0, 2.0, 9.0)
    plain = prepare([make_surface("stone", (1.0, *field))], deck)
    veined = prepare([make_surface("stone", (1 - share, *field), (share, *vein))], deck)
    on_field, on_vein = veined.pairs.accord.total[0]
    if on_vein <= on_field:
        assert veined.pairs.undertone[0] <= plain.pairs.undertone[0] + 1e-6


def test_a_surface_that_clashes_worse_than_the_rest_lowers_the_score(
    kitchen: tuple[Surface, ...], make_surface: MakeSurface, make_deck: MakeDeck
) -> None:
    deck = make_deck((76, 1, 6))
    pink = make_surface("pink tile", (1.0, 72, 8, 7), visibility=0.2)
    without = score_role("walls", prepare(kitchen, deck), setting()).score[0]
    assert score_role("walls", prepare((*kitchen, pink), deck), setting()).score[0] < without


def test_the_vein_of_a_neutral_stone_decides_between_undertones(make_surface: MakeSurface, make_deck: MakeDeck) -> None:
    """ "Sit with the vein": common practice, no published source."""
    deck = make_deck((80, 1, 7), (80, -0.8, -3))
    warm = make_surface("marble", (0.92, 88, 0, 0.5), (0.08, 66, 4, 15))
    cool = make_surface("marble", (0.92, 88, 0, 0.5), (0.08, 60, -1, -5))
    beige, grey = score_role("walls", prepare([warm], deck), setting()).score
    assert beige > grey
    beige, grey = score_role("walls", prepare([cool], deck), setting()).score
    assert grey > beige


def test_near_identical_paints_are_told_once(kitchen: tuple[Surface, ...], make_deck: MakeDeck) -> None:
    alike = [(76 + 0.1 * step, 1, 6) for step in range(6)]
    deck = make_deck(*alike, (90, 0, 4), (70, -4, 6), (60, 2, 12))
    listed = rank_role("walls", kitchen, deck).candidates
    told = [candidate for candidate in listed if candidate.paint < 6]
    assert len(told) == 1
    assert sorted((*told[0].stands_for, told[0].paint)) == list(range(6))
    rows = [candidate.paint for candidate in listed]
    distances = delta_e_2000(deck.lab[rows][:, None], deck.lab[rows])
    assert distances[~np.eye(len(rows), dtype=bool)].min() >= weights.NEAR_IDENTICAL


def test_another_hue_family_is_never_hidden(kitchen: tuple[Surface, ...], random_deck: Deck) -> None:
    listed = rank_role("walls", kitchen, random_deck, top=5).candidates
    other = [candidate for candidate in listed if candidate.different_family]
    assert len(other) == 1
    first, found = undertones(random_deck.lab[[listed[0].paint, other[0].paint]])
    assert first.family != found.family


def test_all_paints_when_asked_for_all(kitchen: tuple[Surface, ...], random_deck: Deck) -> None:
    everything = rank_role("walls", kitchen, random_deck, top=0).candidates
    assert sorted(candidate.paint for candidate in everything) == list(range(len(random_deck)))
    short = rank_role("walls", kitchen, random_deck).candidates
    scores = {candidate.paint: candidate.score for candidate in everything}
    assert all(scores[candidate.paint] == candidate.score for candidate in short)


def test_stability_falls_as_the_reading_gets_vaguer(make_surface: MakeSurface, random_deck: Deck) -> None:
    steady = rank_role("walls", [make_surface("stone", (1.0, 75, 2, 9), sd=0.05)], random_deck).candidates
    vague = rank_role("walls", [make_surface("stone", (1.0, 75, 2, 9), sd=5.0)], random_deck).candidates
    assert steady[0].stability == 1
    assert np.mean([one.stability for one in vague]) < np.mean([one.stability for one in steady])


def test_a_clash_names_surface_kind_and_chance(make_surface: MakeSurface, make_deck: MakeDeck) -> None:
    oak = make_surface("floor", (1.0, 55, 14, 28))
    (candidate,) = rank_role("walls", [oak], make_deck((76, 1.5, -3))).candidates
    clash = candidate.clashes[0]
    assert (clash.surface, clash.kind) == ("floor", "warm-cool")
    assert clash.severity > 0.5
    assert clash.probability > 0.95
    assert any(reason.kind == "undertone-opposes" and not reason.favours for reason in candidate.reasons)


def test_pink_beside_yellow_is_an_undertone_clash_though_both_are_warm(
    make_surface: MakeSurface, make_deck: MakeDeck
) -> None:
    stone = make_surface("worktop", (1.0, 75, 3, 18))
    (candidate,) = rank_role("walls", [stone], make_deck((76, 5, 8))).candidates
    assert candidate.clashes[0].kind == "undertone"


def test_a_near_miss_in_lightness_is_told_and_a_match_is_not(make_surface: MakeSurface, make_deck: MakeDeck) -> None:
    stone = [make_surface("worktop", (1.0, 70, 0, 1))]
    miss = rank_role("cabinets", stone, make_deck((66.5, 0, 0))).candidates[0]
    match = rank_role("cabinets", stone, make_deck((70.5, 0, 1))).candidates[0]
    assert [clash.kind for clash in miss.clashes] == ["lightness"]
    assert not match.clashes


def test_wishes_move_the_list(kitchen: tuple[Surface, ...], random_deck: Deck) -> None:
    warm = rank_role("walls", kitchen, random_deck, warmth="warm").candidates
    cool = rank_role("walls", kitchen, random_deck, warmth="cool").candidates
    assert np.mean([random_deck.lab[one.paint, 2] for one in warm]) > np.mean(
        [random_deck.lab[one.paint, 2] for one in cool]
    )
    for low, high in ((4, 15), (20, 35), (85, 100)):
        listed = rank_role("walls", kitchen, random_deck, lrv_range=(low, high)).candidates
        assert all(low - 5 <= random_deck.lrv[one.paint] <= high + 5 for one in listed[:4])


def test_a_dark_wall_that_suits_is_under_a_pale_one_that_does_and_over_one_that_fights(
    make_surface: MakeSurface, make_deck: MakeDeck
) -> None:
    """Common practice, no source. A client who asks for a light wall is not shown the dark one first for all that."""
    oak = prepare([make_surface("floor", (1.0, 58, 14, 32))], make_deck((82, -1, 7), (45, -8, 8), (82, 4, -5)))
    greige, green, lilac = score_role("walls", oak, setting()).score
    assert lilac < green < greige - 0.1
    greige, green, lilac = score_role("walls", oak, setting(lrv_range=(50, 80))).score
    assert green < lilac < greige


def test_a_dark_muted_colour_is_an_accent_and_a_pale_one_of_its_chroma_is_none(make_deck: MakeDeck) -> None:
    paints = paints_of(make_deck((38, -12, 6), (80, -12, 6)))
    green, mint = role_fit("accent", paints, Wishes())[0]
    assert green > 0.9
    assert mint < 0.2


def test_a_trim_already_chosen_is_heeded(make_surface: MakeSurface, make_deck: MakeDeck) -> None:
    stone = [make_surface("worktop", (1.0, 60, 0, 0))]
    deck = make_deck((93, 0, 1), (92, 0.5, 8))
    cream_trim = {"trim": np.array([91.5, 0.5, 9.0])}
    plain = score_role("walls", prepare(stone, deck), setting()).score
    beside = score_role("walls", prepare(stone, deck), setting(neighbours=cream_trim)).score
    assert beside[0] / plain[0] < beside[1] / plain[1] + 1e-9
    assert (beside <= plain + 1e-9).all()


def test_north_light_speaks_against_cold_paints(kitchen: tuple[Surface, ...], make_deck: MakeDeck) -> None:
    """Harleman 2007: away from the sun room colours shift towards blue; south of the equator that is the south."""
    prepared = prepare(kitchen, make_deck((82, -1, -4), (82, 1, 6)))
    north = score_role("walls", prepared, setting(facing="N", latitude=55)).light
    south_of_equator = score_role("walls", prepared, setting(facing="S", latitude=-34)).light
    assert north[0] < north[1] == 1
    np.testing.assert_allclose(north, south_of_equator)


def test_unknown_role_is_refused(kitchen: tuple[Surface, ...], random_deck: Deck) -> None:
    with pytest.raises(RequestError, match="roof"):
        rank_role("roof", kitchen, random_deck)


def test_weights_of_each_role_sum_to_one() -> None:
    for shares in weights.TERM_WEIGHTS.values():
        total = shares.harmony + shares.undertone + shares.contrast + shares.light + shares.wishes
        assert total == pytest.approx(1)
