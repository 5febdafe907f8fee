"""Properties every shortlist must have, whatever the weights."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.recovery import recover_reflectance
from matcher.errors import RequestError
from matcher.harmony.tint import visibility
from matcher.light.day import room_day
from matcher.light.look import kept_through
from matcher.paints.deck import Deck
from matcher.ranking import weights
from matcher.ranking.givens import gather
from matcher.ranking.judge import accord
from matcher.ranking.paint_columns import paints_of
from matcher.ranking.question import Preferences, Setting, ask
from matcher.ranking.rank import rank
from matcher.ranking.score import role_fit
from matcher.report.result import surface_entries
from matcher.surfaces.measure import RoomMeasurement
from matcher.surfaces.surface import Surface
from tests.ranking.asking import scores, shortlist

MakeSurface = Callable[..., Surface]
MakeDeck = Callable[..., Deck]


@pytest.mark.parametrize("role", weights.ROLES)
def test_sorted_ranked_and_within_bounds(role: str, kitchen: tuple[Surface, ...], random_deck: Deck) -> None:
    found = shortlist(role, kitchen, random_deck, Setting(Preferences("warm", (45, 80)), facing="N", lamps_k=2700))
    assert found.role == role
    listed = found.candidates
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
    first = shortlist("walls", kitchen, random_deck, seed=4)
    assert first == shortlist("walls", kitchen, random_deck, seed=4)


def test_order_of_surfaces_and_colours_changes_nothing(kitchen: tuple[Surface, ...], random_deck: Deck) -> None:
    turned = tuple(replace(surface, colours=surface.colours[::-1]) for surface in kitchen[::-1])
    assert shortlist("walls", kitchen, random_deck) == shortlist("walls", turned, random_deck)


def test_of_two_colours_that_take_as_much_room_the_first_is_the_main_one(make_surface: MakeSurface) -> None:
    """A paint is judged beside the surface as result.json and its sentences show it: there the first is the main one,
    and what lies near it in hue goes by its word.
    """
    orange, yellow = (0.5, 60.0, 7.4, 25.9), (0.5, 60.0, 5.0, 26.5)
    for word, rows in (("orange", (orange, yellow)), ("yellow", (yellow, orange))):
        surface = make_surface("tile", *rows, sd=0.1)
        givens = gather([surface])
        assert givens.colours == surface.colours
        shown = surface_entries(RoomMeasurement((surface,), ()))[0]["colours"]
        assert [word in colour["leans"] for colour in shown] == [True, True]
        assert givens.lean_words == (word, word)


def test_order_of_the_deck_changes_no_score(kitchen: tuple[Surface, ...], random_deck: Deck) -> None:
    shuffle = np.random.default_rng(0).permutation(len(random_deck))
    turned = replace(random_deck, lab=random_deck.lab[shuffle], lrv=random_deck.lrv[shuffle])
    straight = scores("walls", kitchen, random_deck).score
    np.testing.assert_array_equal(scores("walls", kitchen, turned).score, straight[shuffle])


def test_scaling_all_shares_or_visibilities_changes_nothing(kitchen: tuple[Surface, ...], random_deck: Deck) -> None:
    scaled = tuple(
        replace(
            surface,
            visibility=surface.visibility * 4,
            colours=tuple(replace(colour, share=colour.share / 2) for colour in surface.colours),
        )
        for surface in kitchen
    )
    plain = scores("walls", kitchen, random_deck).score
    np.testing.assert_allclose(scores("walls", scaled, random_deck).score, plain, atol=1e-6)


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
    plain = ask(["walls"], [make_surface("stone", (1.0, *field))], deck)
    veined = ask(["walls"], [make_surface("stone", (1 - share, *field), (share, *vein))], deck)
    on_field, on_vein = accord(veined.paints.tint, veined.givens.tint).total
    if on_vein <= on_field:
        assert veined.judged[0].undertone[0, 0] <= plain.judged[0].undertone[0, 0] + 1e-6


def test_a_surface_that_clashes_worse_than_the_rest_lowers_the_score(
    kitchen: tuple[Surface, ...], make_surface: MakeSurface, make_deck: MakeDeck
) -> None:
    deck = make_deck((76, 1, 6))
    pink = make_surface("pink tile", (1.0, 72, 8, 7), visibility=0.2)
    without = scores("walls", kitchen, deck).score[0]
    assert scores("walls", (*kitchen, pink), deck).score[0] < without


def test_the_vein_of_a_neutral_stone_decides_between_undertones(make_surface: MakeSurface, make_deck: MakeDeck) -> None:
    """ "Sit with the vein": common practice, no published source."""
    deck = make_deck((80, 1, 7), (80, -0.8, -3))
    warm = make_surface("marble", (0.92, 88, 0, 0.5), (0.08, 66, 4, 15))
    cool = make_surface("marble", (0.92, 88, 0, 0.5), (0.08, 60, -1, -5))
    beige, grey = scores("walls", [warm], deck).score
    assert beige > grey
    beige, grey = scores("walls", [cool], deck).score
    assert grey > beige


def test_near_identical_paints_are_told_once(kitchen: tuple[Surface, ...], make_deck: MakeDeck) -> None:
    alike = [(76 + 0.1 * step, 1, 6) for step in range(6)]
    deck = make_deck(*alike, (90, 0, 4), (70, -4, 6), (60, 2, 12))
    listed = shortlist("walls", kitchen, deck).candidates
    told = [candidate for candidate in listed if candidate.paint < 6]
    assert len(told) == 1
    assert sorted((*told[0].stands_for, told[0].paint)) == list(range(6))
    rows = [candidate.paint for candidate in listed]
    distances = delta_e_2000(deck.lab[rows][:, None], deck.lab[rows])
    assert distances[~np.eye(len(rows), dtype=bool)].min() >= weights.NEAR_IDENTICAL


def test_a_flag_costs_what_it_says(kitchen: tuple[Surface, ...], random_deck: Deck) -> None:
    """A paint's terms by their weights, less a quarter or more of it for the worst flag at its full severity of 1."""
    question = ask(["walls"], kitchen, random_deck)
    shares = weights.TERM_WEIGHTS["walls"]
    counted = role_fit("walls", question.paints, question.setting.wishes)[1]
    flagged = 0
    for candidate in rank(question, "walls", top=0).candidates:
        terms = candidate.terms
        whole = sum(getattr(shares, name) * getattr(terms, name) for name in terms.__slots__)
        whole *= weights.UNFIT_SHARE + (1 - weights.UNFIT_SHARE) * counted[candidate.paint]
        worst = max((clash.severity for clash in candidate.clashes), default=0.0)
        flagged += worst > 0.3
        assert candidate.score <= whole * (1 - 0.25 * worst) + 1e-6
        assert worst > 0 or candidate.score == pytest.approx(whole, abs=1e-5)
    assert flagged > 20


def test_warm_green_and_cool_are_each_shown_where_one_is_nearly_as_good(
    kitchen: tuple[Surface, ...], random_deck: Deck
) -> None:
    """Sides of the hue circle by CIELAB hue angle: warm to 110 degrees and from 330, green to 190, cool between."""
    every = shortlist("walls", kitchen, random_deck, top=0).candidates
    listed = shortlist("walls", kitchen, random_deck).candidates
    lab = random_deck.lab
    hue = np.degrees(np.arctan2(lab[:, 2], lab[:, 1])) % 360
    tinted = visibility(lab) >= 1.2
    for low, high in ((0, 90), (135, 165), (220, 300)):
        nearly = [
            c for c in every
            if low < hue[c.paint] < high and tinted[c.paint] and not c.clashes and c.score > every[0].score - 0.14
        ]  # fmt: skip
        if nearly:
            assert any(low - 40 < hue[c.paint] < high + 40 for c in listed)
    assert [c.for_direction for c in listed].count(True) <= 4


def test_a_paint_shown_for_its_direction_is_one_that_others_score_above(
    kitchen: tuple[Surface, ...], random_deck: Deck
) -> None:
    listed = shortlist("walls", kitchen, random_deck).candidates
    assert not listed[0].for_direction
    assert any(candidate.for_direction for candidate in listed)


def test_no_clashing_paint_stands_where_a_peaceful_one_could(random_deck: Deck, make_surface: MakeSurface) -> None:
    """Forty rooms of one to four random surfaces, every role: what is flagged is shown only where nothing else is left.

    Near-identical paints count as one (CIEDE2000 below 2).
    """
    rng = np.random.default_rng(5)
    for _ in range(40):
        surfaces = [
            make_surface(
                f"s{place}", (1.0, rng.uniform(35, 92), *rng.normal(0, 1, 2) * [8, 12]), visibility=rng.uniform(0.1, 1)
            )
            for place in range(rng.integers(1, 5))
        ]
        for role in weights.ROLES:
            listed = shortlist(role, surfaces, random_deck).candidates
            if not any(candidate.clashes for candidate in listed):
                continue
            every = shortlist(role, surfaces, random_deck, top=0).candidates
            shown = random_deck.lab[[candidate.paint for candidate in listed]]
            peaceful = [candidate.paint for candidate in every if not candidate.clashes]
            hidden = delta_e_2000(random_deck.lab[peaceful][:, None], shown).min(axis=1) >= weights.NEAR_IDENTICAL
            assert not hidden.any()


def test_all_paints_when_asked_for_all(kitchen: tuple[Surface, ...], random_deck: Deck) -> None:
    everything = shortlist("walls", kitchen, random_deck, top=0).candidates
    assert sorted(candidate.paint for candidate in everything) == list(range(len(random_deck)))
    short = shortlist("walls", kitchen, random_deck).candidates
    scores = {candidate.paint: candidate.score for candidate in everything}
    assert all(scores[candidate.paint] == candidate.score for candidate in short)


def test_stability_falls_as_the_reading_gets_vaguer(make_surface: MakeSurface, random_deck: Deck) -> None:
    steady = shortlist("walls", [make_surface("stone", (1.0, 75, 2, 9), sd=0.05)], random_deck).candidates
    vague = shortlist("walls", [make_surface("stone", (1.0, 75, 2, 9), sd=5.0)], random_deck).candidates
    assert steady[0].stability == 1
    assert np.mean([one.stability for one in vague]) < np.mean([one.stability for one in steady])


def test_a_clash_names_surface_kind_and_chance(make_surface: MakeSurface, make_deck: MakeDeck) -> None:
    oak = make_surface("floor", (1.0, 55, 14, 28))
    (candidate,) = shortlist("walls", [oak], make_deck((76, 1.5, -3))).candidates
    clash = candidate.clashes[0]
    assert (clash.surface, clash.kind) == ("floor", "warm-cool")
    assert clash.severity > 0.5
    assert clash.probability > 0.95
    assert any(reason.kind == "undertone-opposes" and not reason.favours for reason in candidate.reasons)


def test_pink_beside_yellow_is_an_undertone_clash_though_both_are_warm(
    make_surface: MakeSurface, make_deck: MakeDeck
) -> None:
    stone = make_surface("worktop", (1.0, 75, 3, 18))
    (candidate,) = shortlist("walls", [stone], make_deck((76, 5, 8))).candidates
    assert candidate.clashes[0].kind == "undertone"


def test_a_near_miss_in_lightness_is_told_and_a_match_is_not(make_surface: MakeSurface, make_deck: MakeDeck) -> None:
    stone = [make_surface("worktop", (1.0, 70, 0, 1))]
    miss = shortlist("cabinets", stone, make_deck((66.5, 0, 0))).candidates[0]
    match = shortlist("cabinets", stone, make_deck((70.5, 0, 1))).candidates[0]
    assert [clash.kind for clash in miss.clashes] == ["lightness"]
    assert not match.clashes


def test_wishes_move_the_list(kitchen: tuple[Surface, ...], random_deck: Deck) -> None:
    warm = shortlist("walls", kitchen, random_deck, Setting(Preferences("warm"))).candidates
    cool = shortlist("walls", kitchen, random_deck, Setting(Preferences("cool"))).candidates
    assert np.mean([random_deck.lab[one.paint, 2] for one in warm]) > np.mean(
        [random_deck.lab[one.paint, 2] for one in cool]
    )
    for low, high in ((4, 15), (20, 35), (85, 100)):
        listed = shortlist("walls", kitchen, random_deck, Setting(Preferences(lrv_range=(low, high)))).candidates
        assert all(low - 5 <= random_deck.lrv[one.paint] <= high + 5 for one in listed[:4])


def test_a_dark_wall_that_suits_is_under_a_pale_one_that_does_and_over_one_that_fights(
    make_surface: MakeSurface, make_deck: MakeDeck
) -> None:
    """Common practice, no source. A client who asks for a light wall is not shown the dark one first for all that."""
    oak = [make_surface("floor", (1.0, 58, 14, 32))]
    deck = make_deck((82, -1, 7), (45, -8, 8), (82, 4, -5))
    greige, green, lilac = scores("walls", oak, deck).score
    assert lilac < green < greige - 0.1
    greige, green, lilac = scores("walls", oak, deck, Setting(Preferences(lrv_range=(50, 80)))).score
    assert green < lilac < greige


def test_a_dark_muted_colour_is_an_accent_and_a_pale_one_of_its_chroma_is_none(make_deck: MakeDeck) -> None:
    paints = paints_of(make_deck((38, -12, 6), (80, -12, 6)))
    green, mint = role_fit("accent", paints, Preferences())[0]
    assert green > 0.9
    assert mint < 0.2


def test_a_trim_already_chosen_is_heeded(make_surface: MakeSurface, make_deck: MakeDeck) -> None:
    stone = [make_surface("worktop", (1.0, 60, 0, 0))]
    deck = make_deck((93, 0, 1), (92, 0.5, 8), (91.5, 0.5, 9.0))
    cream_trim = Setting(pins={"trim": 2})
    plain = scores("walls", stone, deck).score
    beside = scores("walls", stone, deck, cream_trim).score
    assert beside[0] / plain[0] < beside[1] / plain[1] + 1e-9
    assert (beside <= plain + 1e-9).all()


def test_north_light_speaks_against_cold_paints(kitchen: tuple[Surface, ...], make_deck: MakeDeck) -> None:
    """Harleman 2007: away from the sun room colours shift towards blue; south of the equator that is the south."""
    deck = make_deck((82, -1, -4), (82, 1, 6))
    north = scores("walls", kitchen, deck, Setting(facing="N", latitude=55)).by_itself.light
    south_of_equator = scores("walls", kitchen, deck, Setting(facing="S", latitude=-34)).by_itself.light
    assert north[0] < north[1]
    # What practice takes off is the same; a greige hardly leaves its character in any daylight, a cold grey neither.
    assert north[1] > 0.98
    np.testing.assert_allclose(north, south_of_equator, atol=0.02)
    assert scores("walls", kitchen, deck).by_itself.light.tolist() == [1, 1]


def test_the_light_term_is_what_the_room_leaves_of_a_paints_character(
    kitchen: tuple[Surface, ...], make_deck: MakeDeck
) -> None:
    """Where lamps are known, a paint that is another colour by them scores less in light than one that stays itself;
    both are as warm and as light. Reckoned by the same functions as givens light."""
    deck = make_deck((76, 4, -4), (76, 5, 8), (76, 0, 0))
    setting = Setting(facing="E", latitude=53.4, lamps_k=2700)
    found = scores("walls", kitchen, deck, setting).by_itself
    day = room_day(setting.situation)
    np.testing.assert_allclose(found.keeps, kept_through(day, recover_reflectance(deck.lab)))
    assert found.keeps[2] > found.keeps[0] > found.keeps[1]
    np.testing.assert_allclose(found.light, found.keeps * found.light_cost.term())


def test_a_room_that_says_nothing_of_its_light_needs_no_spectra() -> None:
    """Importing colour-science takes a second: a ranking without light does without."""
    code = (
        "import sys; import numpy as np; from matcher.paints.reading import demo_deck; "
        "from matcher.ranking.light import keeps_in; from matcher.ranking.paint_columns import paints_of; "
        "from matcher.light.day import Situation; "
        "print(keeps_in(Situation(latitude=50), paints_of(demo_deck())).min(), 'colour' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["1.0", "False"]


def test_unknown_role_is_refused(kitchen: tuple[Surface, ...], random_deck: Deck) -> None:
    with pytest.raises(RequestError, match="roof"):
        shortlist("roof", kitchen, random_deck)


def test_weights_of_each_role_sum_to_one() -> None:
    for shares in weights.TERM_WEIGHTS.values():
        total = shares.harmony + shares.undertone + shares.contrast + shares.light + shares.wishes
        assert total == pytest.approx(1)


def test_undertone_leads_and_published_harmony_has_a_small_say() -> None:
    """And of what is meant to stand out contrast asks more than of all else, as weights.py says."""
    for shares in weights.TERM_WEIGHTS.values():
        assert shares.undertone > max(shares.harmony, shares.contrast, shares.light, shares.wishes)
        assert shares.harmony < shares.undertone / 2
    contrast = {role: shares.contrast for role, shares in weights.TERM_WEIGHTS.items()}
    assert set(sorted(contrast, key=lambda role: contrast[role])[-2:]) == {"accent", "door"}
