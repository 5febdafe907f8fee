"""What a list holds beside its order: stability, ties, what is left out and what has to be said first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest

from matcher.colorimetry.lrv import lrv
from matcher.paints.deck import Deck
from matcher.ranking import weights
from matcher.ranking.limits import Limits
from matcher.ranking.question import Question, Setting, ask
from matcher.ranking.rank import _Chosen, clashing, first_choice, rank
from matcher.ranking.score import role_fit, score
from matcher.ranking.stability import leading, staying
from matcher.surfaces.surface import Surface
from tests.ranking.asking import shortlist
from tests.ranking.conftest import MakeDeck, MakeSurface

# Pink tile and yellow-green stone: whatever suits the one fights the other.
PINK, GREEN = (72.0, 12, 6), (75.0, -6, 22)


@pytest.fixture(scope="module")
def quarrel(make_surface: MakeSurface) -> tuple[Surface, ...]:
    return make_surface("green", (1.0, *GREEN)), make_surface("pink", (1.0, *PINK))


@pytest.fixture(scope="module")
def loud(make_deck: MakeDeck) -> Deck:
    """Sixty undertones that something in the room fights."""
    angle = np.random.default_rng(3).uniform(0, 2 * np.pi, 60)
    return make_deck(*np.stack([np.linspace(60, 85, 60), 8 * np.cos(angle), 8 * np.sin(angle)], axis=1))


def _all_clash(question: Question) -> bool:
    return bool((score(question, "walls").clash > 0).all())


def test_staying_is_how_often_one_is_among_the_best() -> None:
    """By counting, draw by draw."""
    scores = np.random.default_rng(1).normal(0, 1, (9, 300)) + np.linspace(1, 0, 9)[:, None]
    for top in (1, 4, 8, 9, 12):
        among = np.array(
            [[(scores[:, draw] > scores[row, draw]).sum() < top for draw in range(300)] for row in range(9)]
        )
        np.testing.assert_allclose(staying(scores, top), among.mean(axis=1))


def test_of_equal_scores_the_first_keep_their_places() -> None:
    """By counting who is better, or as good and named before."""
    scores = np.random.default_rng(0).integers(0, 4, (200, 5)) / 4
    before = np.tri(200, k=-1, dtype=bool)[:, :, None]
    ahead = (scores > scores[:, None]) | ((scores == scores[:, None]) & before)
    for top in (8, 66):
        np.testing.assert_allclose(staying(scores, top), (ahead.sum(axis=1) < top).mean(axis=1))


def test_leading_is_being_better_in_nearly_every_draw() -> None:
    """In 95 of 100; 94 are not enough."""
    ahead = np.zeros((3, 100))
    ahead[0], ahead[1, :6], ahead[2, :4] = 1, 2, 2
    assert leading(ahead)[0].tolist() == [False, False, True]


def test_ties_are_the_others_of_a_group() -> None:
    chosen = _Chosen([5, 2, 9, 7], {}, np.ones(4), [0, 0, 2, 0], frozenset())
    assert [chosen.tied_with(place) for place in range(4)] == [(2, 7), (5, 7), (), (5, 2)]


def test_where_all_fights_the_least_bad_is_listed_and_is_as_sure_as_the_reading(
    quarrel: tuple[Surface, ...], loud: Deck
) -> None:
    """Of surfaces that are known exactly every place is sure."""
    exact = [
        replace(one, colours=tuple(replace(each, covariance=np.zeros((3, 3))) for each in one.colours))
        for one in quarrel
    ]
    question = ask(["walls"], exact, loud)
    assert _all_clash(question)
    listed = rank(question, "walls").candidates
    assert len(listed) == 8
    assert [one.stability for one in listed] == [1.0] * 8
    assert listed[0].paint == int(np.argmax(score(question, "walls").score))


def test_what_clashes_takes_no_place_of_what_does_not(
    kitchen: tuple[Surface, ...], random_deck: Deck, make_deck: MakeDeck
) -> None:
    """A deck without its clashing paints gives the same list, as sure: they compete for nothing while there are enough
    others.
    """
    vague = [
        replace(one, colours=tuple(replace(each, covariance=4 * np.eye(3)) for each in one.colours)) for one in kitchen
    ]
    whole = rank(ask(["walls"], vague, random_deck), "walls").candidates
    peaceful = np.flatnonzero(score(ask(["walls"], vague, random_deck), "walls").clash == 0)
    alone = rank(ask(["walls"], vague, make_deck(*random_deck.lab[peaceful])), "walls").candidates
    assert [int(peaceful[one.paint]) for one in alone] == [one.paint for one in whole]
    assert [one.stability for one in alone] == [one.stability for one in whole]
    assert min(one.stability for one in whole) < 1


@pytest.mark.parametrize(("green", "shown"), [((-4.0, 1.5), 3), ((-6.0, -1.0), 1)])
def test_rules_of_thumb_tell_no_finer_than_a_twentieth(
    green: tuple[float, float], shown: int, make_surface: MakeSurface, make_deck: MakeDeck
) -> None:
    """However well a surface is known: greens that score within 0.05 of the yellows take their three places of a list,
    and those that score less the one for another direction.
    """
    known = [make_surface("ceiling", (1.0, 95, 0.3, 3.5), sd=0.0)]
    levels = range(30, 80, 4)
    deck = make_deck(*[(level, 0.6, 5) for level in levels], *[(level, *green) for level in levels])
    question = ask(["island"], known, deck)
    yellows, greens = np.split(score(question, "island").score, 2)
    assert yellows.min() - 0.035 > greens.max() > yellows.max() - 0.15
    assert (greens.min() > yellows.max() - 0.05) == (shown == 3)
    assert (greens.max() < yellows.min() - 0.05) == (shown == 1)
    assert sum(one.paint >= len(levels) for one in rank(question, "island").candidates) == shown


@pytest.mark.parametrize(("chroma", "shown"), [(33.0, 1), (34.4, 0)])
def test_another_direction_is_shown_while_it_is_nearly_as_good(
    chroma: float, shown: int, make_surface: MakeSurface, make_deck: MakeDeck
) -> None:
    """The best of the blue-greens among quiet yellows, which scores less by 0.15 at the most, or by a little more."""
    known = [make_surface("ceiling", (1.0, 95, 0.3, 3.5), sd=0.0)]
    levels = range(30, 80, 4)
    deck = make_deck(
        *[(level, 0.6, 5) for level in levels], *[(level, -0.8 * chroma, -0.6 * chroma) for level in levels]
    )
    question = ask(["island"], known, deck)
    yellows, greens = np.split(score(question, "island").score, 2)
    less = float(yellows.max() - greens.max())
    assert 0.12 < less < 0.18
    assert (less < 0.15) == bool(shown)
    assert sum(one.paint >= len(levels) for one in rank(question, "island").candidates) == shown


def test_cabinets_come_with_a_white_where_it_is_nearly_as_good(make_surface: MakeSurface, make_deck: MakeDeck) -> None:
    """Most clients expect to see one (common practice, no source): LRV 78 and more, the best alone, and of an island
    nobody does. A white that has no lean is no direction of its own, and a pale grey that scores more is no white.
    """
    stone = [make_surface("worktop", (1.0, 62, 2, 12), sd=0.0)]
    browns = [(25 + 2.6 * step, 0.8, 3.6) for step in range(11)]
    question = ask(["cabinets", "island"], stone, make_deck(*browns, (87, 0.1, 0.8), (93, 0, 0.3), (97, 0, 0.3)))
    own = score(question, "cabinets").score
    assert own[:11].min() - 0.05 > own[11] > own[12:].max() > own[:11].max() - 0.15
    assert 65 < question.paints.lrv[11] < 75
    for role, shown in (("cabinets", [12 + int(np.argmax(own[12:]))]), ("island", [])):
        assert [one.paint for one in rank(question, role).candidates if one.paint >= 11] == shown


def test_equal_scores_keep_the_order_of_the_deck(make_surface: MakeSurface, make_deck: MakeDeck) -> None:
    """Thirty tins of each of twelve colours, three of which fight the floor: by score, and then as they stand."""
    oak = [make_surface("floor", (1.0, 55, 14, 28))]
    calm = [(60 + 4 * step, 0.6, 5) for step in range(9)]
    kinds = [*calm[:4], (76, 1.5, -3), *calm[4:], (70, 2, -4), (64, 1.5, -3)]
    question = ask(["walls"], oak, make_deck(*kinds * 30))
    found = score(question, "walls")
    fights = found.clash > 0.1
    assert fights.tolist() == [kind[2] < 0 for kind in kinds] * 30
    every = rank(question, "walls", top=0, draws=2).candidates
    assert [one.paint for one in every] == sorted(range(360), key=lambda row: (-found.score[row], row))
    # Where every paint is listed none stands for another.
    assert {one.stands_for for one in every} == {()}
    expected = [one.paint for one in every if not fights[one.paint]]
    assert first_choice(question, "walls").paint == expected[0]
    told = [one.paint for one in clashing(question, "walls", severity=0.1, most=90)]
    assert all(told[start : start + 30] == sorted(told[start : start + 30]) for start in (0, 30, 60))
    assert sorted(told) == np.flatnonzero(fights).tolist()


@pytest.mark.parametrize("top", [1, 8])
def test_limits_keep_a_list_and_not_the_whole_deck(top: int, kitchen: tuple[Surface, ...], random_deck: Deck) -> None:
    first = rank(ask(["walls"], kitchen, random_deck), "walls", top=1).candidates[0].paint
    kept = Setting(limits=Limits(avoid=frozenset({first})))
    listed = shortlist("walls", kitchen, random_deck, kept, top=top, draws=4).candidates
    assert len(listed) == top
    assert first not in [one.paint for one in listed]


def test_every_paint_is_listed_whatever_is_kept(
    kitchen: tuple[Surface, ...], random_deck: Deck, make_deck: MakeDeck
) -> None:
    deck = make_deck(*random_deck.lab[:40])
    kept = Setting(limits=Limits(avoid=frozenset({3, 4}), lrv={"walls": (50.0, 60.0)}))
    assert len(shortlist("walls", kitchen, deck, kept, top=0, draws=2).candidates) == 40


def test_the_first_choice_where_few_or_none_are_at_peace(
    quarrel: tuple[Surface, ...], loud: Deck, make_deck: MakeDeck
) -> None:
    """As the list has it: with no peaceful paint, and with two that score less than what clashes a little."""
    none = ask(["walls"], quarrel, loud)
    assert _all_clash(none)
    few = ask(
        ["walls"],
        quarrel[:1],
        make_deck((20, -0.1, 0.4), (24, 0, 0.2), *[(70 + each, 1.6, 8) for each in (0, 5, 10)], *loud.lab),
    )
    for question in (none, few):
        best = rank(question, "walls").candidates[0]
        found = first_choice(question, "walls")
        assert (found.paint, found.score) == (best.paint, best.score)


def test_what_clashes_is_listed_by_what_it_would_be_worth_did_it_not(
    kitchen: tuple[Surface, ...], random_deck: Deck
) -> None:
    """By its terms and weights alone, of those that are walls at all and clash so badly; its clashes as the list has
    them.
    """
    vague = [
        replace(one, colours=tuple(replace(each, covariance=9 * np.eye(3)) for each in one.colours)) for one in kitchen
    ]
    question = ask(["walls"], vague, random_deck)
    found = score(question, "walls")
    fit, counted = role_fit("walls", question.paints, question.setting.wishes)
    shares = weights.TERM_WEIGHTS["walls"]
    whole = (
        shares.harmony * found.harmony + shares.undertone * found.undertone + shares.contrast * found.contrast
        + shares.light * found.by_itself.light + shares.wishes * found.by_itself.wishes
    ) * (weights.UNFIT_SHARE + (1 - weights.UNFIT_SHARE) * counted)  # fmt: skip
    rows = np.flatnonzero((found.clash >= 0.06) & (fit >= weights.FIT_ENOUGH))
    expected = rows[np.argsort(-whole[rows], kind="stable")].tolist()
    assert len(expected) > 12
    told = clashing(question, "walls", severity=0.06, most=80)
    assert [one.paint for one in told] == expected[:80]
    every = {one.paint: one for one in rank(question, "walls", top=0).candidates}
    assert any(0 < clash.probability < 1 and clash.kind != "lightness" for one in told for clash in one.clashes)
    for one in told:
        assert one.clashes == every[one.paint].clashes
        assert one.score == every[one.paint].score
    assert clashing(question, "walls", severity=1.01, most=12) == ()


def test_what_pulls_apart_is_said_first(
    quarrel: tuple[Surface, ...], loud: Deck, make_surface: MakeSurface, make_deck: MakeDeck
) -> None:
    """Of one given itself, of more the two that nothing suits; and by how badly the best still clashes. Nothing is said
    where a single paint is at peace.
    """
    violet = make_deck((76, 1.5, -3), (74, 2.5, -5))
    oak = [make_surface("oak", (1.0, 55, 14, 28))]
    (note,) = shortlist("walls", oak, violet).notes
    assert (note.kind, note.favours, note.surfaces, note.weight) == ("nothing-sits", False, ("oak",), 1.0)
    assert dict(note.values)["clash"] == pytest.approx(score(ask(["walls"], oak, violet), "walls").clash.min())
    assert shortlist("walls", oak, make_deck((76, 1.5, -3), (80, 1, 7))).notes == ()

    calm, late = (make_surface(name, (1.0, 50, 0, 0.3)) for name in ("concrete", "zinc"))
    for room in (quarrel, (*quarrel, calm), (*quarrel, late)):
        question = ask(["walls"], room, loud)
        (note,) = rank(question, "walls").notes
        assert note.surfaces == ("green", "pink")
        assert (note.kind, note.favours, note.weight) == ("nothing-sits", False, 1.0)
        fit = score(question, "walls").by_itself.fit >= weights.FIT_ENOUGH
        two = score(ask(["walls"], quarrel, loud), "walls").clash
        assert dict(note.values)["clash"] == pytest.approx(float(two[fit].min()))
    # Where nothing is a wall at all there is nothing to be said of givens.
    assert shortlist("walls", quarrel, make_deck((5, 20, -20), (4, 25, -25))).notes == ()
    assert float(lrv(np.array([5.0, 20, -20]))) < 10


def test_givens_pull_apart_where_each_has_paints_that_sit_with_it(
    make_surface: MakeSurface, make_deck: MakeDeck
) -> None:
    """By trying the same paints beside fewer: of one that nothing sits with others are no part, whether it is fought or
    blurred into; and it may take three.
    """
    lab_of = {"grey": (50, 0, 0.3), "pink": PINK, "green": GREEN, "white": (94, 0, 1)}
    fights_green, fights_pink, blurs_into_grey, blurs_into_pink = (86, 6, 4), (64, 0, 8), (53, 0, 3), (73, 3, 5)
    for names, deck, expected in (
        (("grey", "pink"), make_deck(blurs_into_pink), ("pink",)),
        (("green", "grey"), make_deck(fights_green, fights_green), ("green",)),
        (("green", "grey", "pink", "white"), make_deck(fights_green, fights_pink), ("green", "pink")),
        # One that fights the green too little to be told of sits with it.
        (("green", "pink"), make_deck(fights_green, (64, 3.25, 6.25)), ("green", "pink")),
        (("green", "grey", "pink"), make_deck(fights_green, fights_pink, blurs_into_grey), ("green", "grey", "pink")),
    ):

        def least(some: Sequence[str], deck: Deck = deck) -> float:
            room = [make_surface(name, (1.0, *lab_of[name])) for name in some]
            return float(score(ask(["cabinets"], room, deck), "cabinets").clash.min())

        (note,) = shortlist("cabinets", [make_surface(name, (1.0, *lab_of[name])) for name in names], deck).notes
        assert note.surfaces == expected
        assert dict(note.values)["clash"] == pytest.approx(least(expected))
        for fewer in combinations(expected, len(expected) - 1):
            assert not fewer or least(fewer) == 0


@pytest.mark.parametrize("role", ["walls", "cabinets"])
@pytest.mark.parametrize("sd", [0.7, 4.0])
def test_how_sure_a_place_is_hangs_on_no_more_rivals(
    sd: float, role: str, make_surface: MakeSurface, random_deck: Deck, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Five times as many compete, also where surfaces are as doubtful as in a photo without a card (4 of CIELAB): a
    paint is as sure within a twentieth, no more than is told of it.
    """
    room = [
        make_surface("floor", (1.0, 55, 14, 28), visibility=0.5, sd=sd),
        make_surface("worktop", (0.9, 87, 0, 1), (0.1, 68, 1, 6), visibility=0.3, sd=sd),
        make_surface("tile", (1.0, 92, 0, 2), visibility=0.2, sd=sd),
    ]
    listed = {one.paint: one.stability for one in shortlist(role, room, random_deck).candidates}
    monkeypatch.setattr("matcher.ranking.rank._RIVALS", 40)
    among_many = {one.paint: one.stability for one in shortlist(role, room, random_deck).candidates}
    both = listed.keys() & among_many.keys()
    assert len(both) >= 7  # one place may go to another direction
    assert {paint: listed[paint] for paint in both} == pytest.approx(
        {paint: among_many[paint] for paint in both}, abs=0.05
    )
