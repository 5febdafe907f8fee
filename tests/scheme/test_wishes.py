"""Wishes that are kept: the best scheme under them, which of them fight, and the least that has to give; each held
against every combination of a small deck.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from matcher.paints.deck import Deck
from matcher.ranking.limits import Contrast, Limits
from matcher.ranking.paint_columns import Paints, paints_of
from matcher.ranking.question import Preferences, Question, Setting, ask
from matcher.ranking.rank import rank
from matcher.scheme import message, search
from matcher.scheme.build import build_scheme
from matcher.scheme.choosing import choose
from matcher.scheme.feasible import can_be_kept
from matcher.scheme.few_paints import ways_to_share
from matcher.scheme.impossible import conflict_of
from matcher.scheme.scheme import Scheme
from matcher.scheme.wishes import best_under, wishes_of
from matcher.surfaces.surface import Surface
from tests.scheme.brute_force import best_value, fewest_to_give

MakeDeck = Callable[[int, int], Deck]
Kitchen = tuple[Surface, ...]
# Six places hold every kind of link: a ring of three whites, a chain, and what hangs on the walls alone.
ROLES = ("walls", "trim", "ceiling", "cabinets")
COUNT = 6
# The deck is made by a function that keeps nothing; how slow a busy machine is says nothing of the search.
QUIET = [HealthCheck.function_scoped_fixture, HealthCheck.too_slow]
SHARED = Limits(
    contrasts=(
        Contrast(("walls", "trim"), 10.0),
        Contrast(("walls", "cabinets"), 0.0, 12.0),
        Contrast(("trim", "cabinets"), 0.0, 12.0),
    ),
    most_paints=2,
)


def _deck(make_random_deck: MakeDeck, seed: int, count: int = COUNT) -> Deck:
    """A small deck with LRV as they are published, to a tenth."""
    deck = make_random_deck(count, seed)
    return Deck(
        deck.name, deck.sha256, deck.codes, deck.names, deck.collections, deck.lab, np.round(deck.lrv, 1),
        deck.exterior, None,
    )  # fmt: skip


@st.composite
def _limits(draw: st.DrawFn) -> tuple[Limits, dict[str, int]]:
    pairs = draw(
        st.lists(st.sampled_from([("walls", "trim"), ("walls", "cabinets"), ("trim", "cabinets")]), max_size=3)
    )
    levels = st.integers(0, 80)
    contrasts = [
        Contrast(pair, *draw(st.sampled_from([(10.0, 100.0), (30.0, 100.0), (0.0, 12.0), (5.0, 40.0), (70.0, 100.0)])))
        for pair in dict.fromkeys(pairs)
    ]
    ranges = {
        role: (float(low), float(low + draw(st.integers(5, 60))))
        for role, low in draw(st.dictionaries(st.sampled_from(ROLES), levels, max_size=2)).items()
    }
    limits = Limits(
        avoid=frozenset(draw(st.sets(st.integers(0, COUNT - 1), max_size=3))),
        avoid_families=frozenset(draw(st.sets(st.sampled_from(["yellow", "neutral", "blue", "red"]), max_size=1))),
        lrv=ranges,
        contrasts=tuple(contrasts),
        most_paints=draw(st.none() | st.integers(1, 3)),
    )
    pins = draw(st.dictionaries(st.sampled_from(ROLES), st.integers(0, COUNT - 1), max_size=2))
    return limits, pins


@settings(max_examples=25, deadline=None, derandomize=True, suppress_health_check=QUIET)
@given(asked=_limits(), seed=st.integers(0, 5), leading=st.sampled_from([1, 2, COUNT]))
def test_what_is_chosen_is_the_best_of_all_that_keep_the_wishes(
    asked: tuple[Limits, dict[str, int]], seed: int, leading: int, kitchen: Kitchen, make_random_deck: MakeDeck
) -> None:
    """``leading``: paints that the first search looks at; of fewer than all, the bounds have to prove the rest."""
    limits, pins = asked
    deck = _deck(make_random_deck, seed)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(search, "_LEADING", leading)
        patch.setattr(search, "_PROMISING", leading)
        patch.setattr(message, "_FIRST", leading)
        chosen = choose(ask(ROLES, kitchen, deck, Setting(pins=pins, limits=limits)))
    assert chosen.found.proven
    assert chosen.found.value == pytest.approx(best_value(chosen.web, chosen.wishes, deck.lrv), abs=1e-9)


@settings(max_examples=40, deadline=None, derandomize=True, suppress_health_check=QUIET)
@given(asked=_limits(), seed=st.integers(0, 5))
@example(asked=(SHARED, {}), seed=1)  # cabinets that share a paint bring their wishes with them
def test_no_fewer_wishes_could_be_given_up(
    asked: tuple[Limits, dict[str, int]], seed: int, kitchen: Kitchen, make_random_deck: MakeDeck
) -> None:
    limits, pins = asked
    deck = _deck(make_random_deck, seed)
    setting = Setting(pins=pins, limits=limits)
    chosen = choose(ask(ROLES, kitchen, deck, setting))
    every = [*chosen.wishes, *chosen.given_up]
    assert len(every) == len(list(wishes_of(setting, paints_of(deck), ROLES)))
    assert len(chosen.given_up) == fewest_to_give(chosen.web, every, deck.lrv)
    if chosen.conflict is not None:
        # Of what fights none could be left out, and a way out gives up part of it.
        assert not can_be_kept(ROLES, chosen.conflict.fight, deck.lrv)
        assert all(any(wish is one for one in chosen.conflict.fight) for wish in chosen.given_up)


def test_what_can_be_kept_and_what_is_found_agree_where_wishes_form_a_ring(
    kitchen: Kitchen, make_random_deck: MakeDeck
) -> None:
    """Three roles each 30 to 45 points from both others: no three levels of 0 to 100 are (30 + 30 is more than 45)."""
    pairs = (("walls", "trim"), ("trim", "cabinets"), ("walls", "cabinets"))
    for most, possible in ((45.0, False), (61.0, True)):
        limits = Limits(contrasts=tuple(Contrast(pair, 30.0, most) for pair in pairs))
        deck = _deck(make_random_deck, 3, 250)
        question = ask(ROLES, kitchen, deck, Setting(limits=limits))
        wishes = list(wishes_of(question.setting, question.paints, ROLES))
        assert can_be_kept(ROLES, wishes, deck.lrv) == possible
        chosen = choose(question)
        assert (chosen.conflict is None) == possible
        found = best_under(chosen.web, wishes, deck.lrv)
        assert bool(found.rows) == possible
        assert found.proven


@pytest.mark.parametrize(("count", "blocks", "ways"), [(3, 2, 3), (4, 2, 7), (6, 3, 90), (7, 4, 350), (7, 7, 1)])
def test_ways_to_share_stirling_numbers_of_the_second_kind(count: int, blocks: int, ways: int) -> None:
    """Abramowitz & Stegun 1964, table 24.4."""
    found = list(ways_to_share(tuple("abcdefg"[:count]), blocks))
    assert len(found) == len(set(found)) == ways
    assert all(sorted(place for block in way for place in block) == list("abcdefg"[:count]) for way in found)


def _asked(kitchen: Kitchen, deck: Deck, limits: Limits, **pins: int) -> Question:
    return ask(["walls", "trim", "cabinets"], kitchen, deck, Setting(pins=pins, limits=limits))


def _rows(scheme: Scheme) -> dict[str, int]:
    return {one.role: one.paint for one in scheme.roles}


@pytest.mark.parametrize(
    ("limits", "kept"),
    [
        (Limits(lrv={"cabinets": (5, 20)}), lambda rows, p: 5 <= p.lrv[rows["cabinets"]] <= 20),
        (Limits(most_paints=2), lambda rows, p: len(set(rows.values())) <= 2),
        (Limits(most_paints=1), lambda rows, p: len(set(rows.values())) == 1),
        (
            Limits(contrasts=(Contrast(("walls", "trim"), 0, 8), Contrast(("walls", "cabinets"), 40))),
            lambda rows, p: (
                abs(p.lrv[rows["walls"]] - p.lrv[rows["trim"]]) <= 8.05
                and abs(p.lrv[rows["walls"]] - p.lrv[rows["cabinets"]]) >= 39.95
            ),
        ),
    ],
)
def test_every_scheme_that_is_offered_keeps_the_wishes(
    limits: Limits, kept: Callable[[Mapping[str, int], Paints], bool], kitchen: Kitchen, make_random_deck: MakeDeck
) -> None:
    deck = make_random_deck(400, 12)
    question = _asked(kitchen, deck, limits)
    scheme = build_scheme(question)
    assert scheme.optimal
    assert scheme.given_up is None
    assert kept(_rows(scheme), question.paints)
    assert scheme.alternatives
    for other in scheme.alternatives:
        assert kept({one.role: one.paint for one in other.roles}, question.paints), other.kind


def test_roles_that_nothing_holds_together_are_chosen_too(
    kitchen: Kitchen, make_random_deck: MakeDeck, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Walls free, trim and island chosen: no rule is left between some of the places, and the deck is long."""
    monkeypatch.setattr(search, "_LEADING", 2)
    deck = _deck(make_random_deck, 4, 12)
    pinned = Setting(pins={"trim": 3, "island": 5})
    scheme = build_scheme(ask(("walls", "trim", "island"), kitchen, deck, pinned))
    assert {chosen.role: chosen.paint for chosen in scheme.roles}.items() >= {"trim": 3, "island": 5}.items()
    assert scheme.optimal


def test_what_is_not_wanted_is_nowhere(kitchen: Kitchen, make_random_deck: MakeDeck) -> None:
    deck = make_random_deck(300, 3)
    free = build_scheme(_asked(kitchen, deck, Limits()))
    unwanted = frozenset(_rows(free).values())
    question = _asked(kitchen, deck, Limits(avoid=unwanted))
    scheme = build_scheme(question)
    shown = {*_rows(scheme).values(), *(one.paint for one in scheme.companions), *(s.paint for s in scheme.trim_ladder)}
    shown |= {one.paint for other in scheme.alternatives for one in other.roles}
    for role in question.roles:
        listed = rank(question, role).candidates
        shown |= {row for candidate in listed for row in (candidate.paint, *candidate.stands_for)}
    assert not shown & unwanted
    assert len(rank(question, "walls", top=0).candidates) == 300


def test_one_paint_fewer_is_offered_where_there_is_one_to_spare(kitchen: Kitchen, make_random_deck: MakeDeck) -> None:
    deck = make_random_deck(300, 2)
    scheme = build_scheme(ask(["walls", "trim", "cabinets", "island", "door"], kitchen, deck))
    (fewer,) = (other for other in scheme.alternatives if other.kind == "fewer")
    rows = {one.role: one.paint for one in fewer.roles}
    assert len(set(rows.values())) == len(set(_rows(scheme).values())) - 1 == dict(fewer.trade.values)["paints"]
    assert len({rows[role] for role in fewer.trade.surfaces}) == 1 < len(fewer.trade.surfaces)


def _everything(count: int) -> Limits:
    return Limits(avoid=frozenset(range(count)))


@pytest.mark.parametrize(
    ("limits", "pins", "fight", "dropped"),
    [
        (_everything(200), {}, {"avoid"}, {"avoid"}),
        (Limits(lrv={"walls": (101, 120)}), {}, {"lrv"}, {"lrv"}),
        (Limits(most_paints=1), {"walls": 3, "trim": 4}, {"pin", "most-paints"}, {"most-paints"}),
        (Limits(avoid=frozenset({3})), {"walls": 3}, {"pin", "avoid"}, {"avoid"}),
        (
            Limits(lrv={"walls": (40, 60), "trim": (80, 95)}, contrasts=(Contrast(("walls", "trim"), 0, 10),)),
            {},
            {"lrv", "contrast"},
            {"contrast", "lrv"},
        ),
    ],
)
def test_impossible_wishes_are_named_and_the_rest_is_kept(
    limits: Limits,
    pins: dict[str, int],
    fight: set[str],
    dropped: set[str],
    kitchen: Kitchen,
    make_random_deck: MakeDeck,
) -> None:
    scheme = build_scheme(_asked(kitchen, make_random_deck(200, 1), limits, **pins))
    assert scheme.given_up is not None
    assert {wish.kind for wish in scheme.given_up.fight} == fight
    (given,) = scheme.given_up.dropped
    assert given.kind in dropped
    # A choice made already is given up last.
    assert {role: row for role, row in _rows(scheme).items() if role in pins} == pins


def test_a_deck_of_two_paints_and_one_of_one(kitchen: Kitchen, make_random_deck: MakeDeck) -> None:
    for count in (1, 2):
        scheme = build_scheme(ask(ROLES, kitchen, make_random_deck(count, 1), Setting(Preferences("warm"))))
        assert set(_rows(scheme)) == set(ROLES)
        assert scheme.optimal


def test_all_can_be_kept_leaves_no_conflict() -> None:
    assert conflict_of([], lambda wishes: True) is None


def test_equal_questions_give_equal_schemes(kitchen: Kitchen, make_random_deck: MakeDeck) -> None:
    limits = Limits(most_paints=2, contrasts=(Contrast(("walls", "trim"), 15),))
    schemes: list[Any] = [build_scheme(_asked(kitchen, make_random_deck(150, 9), limits)) for _ in range(2)]
    assert schemes[0] == schemes[1]
