"""Rooms seen from each other: chosen together, proved together, held against every combination of a small deck."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from matcher.paints.deck import Deck
from matcher.paints.reading import demo_deck
from matcher.ranking import weights
from matcher.ranking.limits import Limits
from matcher.ranking.neighbours import RULES, pair_fit, through_fit
from matcher.ranking.question import Setting, ask
from matcher.scheme import message, search
from matcher.scheme.build import build_scheme
from matcher.scheme.choosing import choose
from matcher.scheme.sightlines import SeenRoom
from matcher.surfaces.surface import Surface
from tests.ranking.asking import scores
from tests.scheme.test_typed_rooms import surfaces

MakeDeck = Callable[[int, int], Deck]
Kitchen = tuple[Surface, ...]
HERE, THERE = ("walls", "trim", "cabinets"), ("walls", "trim")
HALL = surfaces("pink granite, pine")


def _seen(deck: Deck, setting: Setting | None = None, roles: tuple[str, ...] = THERE) -> SeenRoom:
    return SeenRoom("hall.toml", "Hall", "open doorway", ask(roles, HALL, deck, setting))


def test_walls_of_two_rooms_count_as_two_roles_of_one_and_their_trim_half_as_much() -> None:
    assert weights.THROUGH_WEIGHTS == {"walls": weights.PAIR_WEIGHT, "trim": weights.PAIR_WEIGHT / 2}


@pytest.mark.parametrize(("seed", "leading", "one_trim"), [(1, 7, False), (2, 1, False), (3, 2, True), (4, 1, True)])
def test_no_combination_of_both_rooms_is_better(
    seed: int,
    leading: int,
    one_trim: bool,
    kitchen: Kitchen,
    make_random_deck: MakeDeck,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Five places of seven paints: all 16,807 choices, worth what the rules say of two roles and of two rooms."""
    for module, name in ((search, "_LEADING"), (search, "_PROMISING"), (message, "_FIRST")):
        monkeypatch.setattr(module, name, leading)
    deck = make_random_deck(7, seed)
    rows = dict(zip([(0, role) for role in HERE] + [(1, role) for role in THERE], np.indices((7,) * 5), strict=True))
    single = deck.lab.astype(np.float32)
    value = np.zeros((7,) * 5)
    for (room, role), row in rows.items():
        own = scores(role, (kitchen, HALL)[room], deck).score
        value += weights.ROLE_WEIGHTS[role] * own[row]
    for one, other in RULES:
        for room in (0, 1):
            if (room, one) in rows and (room, other) in rows:
                fit = pair_fit(one, single[rows[room, one]], other, single[rows[room, other]])
                value += weights.PAIR_WEIGHT * fit.astype(np.float64)
    for role, weight in weights.THROUGH_WEIGHTS.items():
        value += weight * through_fit(role, single[rows[0, role]], single[rows[1, role]]).astype(np.float64)
    if one_trim:
        value[rows[0, "trim"] != rows[1, "trim"]] = -np.inf
    question = ask(HERE, kitchen, deck, Setting(limits=Limits(one_trim=one_trim)))
    chosen = choose(question, [_seen(deck)])
    assert chosen.found.proven
    assert chosen.found.value == pytest.approx(float(value.max()), abs=1e-6)


def test_what_holds_through_the_doorway_is_told(kitchen: Kitchen) -> None:
    deck = demo_deck()
    scheme = build_scheme(ask(HERE, kitchen, deck), [_seen(deck)])
    (hall,) = scheme.rooms
    assert scheme.optimal
    assert (hall.file, hall.name, hall.through) == ("hall.toml", "Hall", "open doorway")
    assert set(hall.roles) == set(THERE)
    rules = {check.rule: check for check in hall.checks}
    assert set(rules) == {"through-undertones-kin", "through-step-as-meant", "through-one-trim"}
    assert all(check.passes for check in hall.checks)


def test_the_room_in_view_changes_what_is_chosen(kitchen: Kitchen) -> None:
    """A hall whose walls, settled there, fight what is chosen here by itself: with it in view another paint is."""
    deck = demo_deck()
    alone = build_scheme(ask(HERE, kitchen, deck))
    walls = next(one.paint for one in alone.roles if one.role == "walls")
    lab = deck.lab.astype(np.float32)
    worst = int(np.argmin(through_fit("walls", lab[walls], lab)))
    seen = _seen(deck, Setting(pins={"walls": worst}))
    together = build_scheme(ask(HERE, kitchen, deck), [seen])
    (hall,) = together.rooms
    assert hall.roles["walls"] == worst
    assert hall.pinned == ("walls",)
    moved = next(one.paint for one in together.roles if one.role == "walls")
    assert float(through_fit("walls", lab[moved], lab[worst])) > float(through_fit("walls", lab[walls], lab[worst]))
    assert together.score <= alone.score + 1e-9


def test_one_trim_runs_through_every_room_and_every_scheme_offered(
    kitchen: Kitchen, make_random_deck: MakeDeck
) -> None:
    deck = make_random_deck(300, 5)
    question = ask(HERE, kitchen, deck, Setting(limits=Limits(one_trim=True)))
    scheme = build_scheme(question, [_seen(deck)])
    trim = next(one.paint for one in scheme.roles if one.role == "trim")
    assert scheme.rooms[0].roles["trim"] == trim
    for other in scheme.alternatives:
        assert next(one.paint for one in other.roles if one.role == "trim") == trim


def test_two_trims_chosen_already_and_one_wished_for(kitchen: Kitchen, make_random_deck: MakeDeck) -> None:
    deck = make_random_deck(100, 6)
    here = Setting(pins={"trim": 3}, limits=Limits(one_trim=True))
    scheme = build_scheme(ask(HERE, kitchen, deck, here), [_seen(deck, Setting(pins={"trim": 4}))])
    assert scheme.given_up is not None
    assert {wish.kind for wish in scheme.given_up.fight} == {"pin", "one-trim"}
    (dropped,) = scheme.given_up.dropped
    assert dropped.kind == "one-trim"
    # What is chosen for the other room is settled there.
    assert scheme.rooms[0].roles["trim"] == 4
    assert {wish.room for wish in scheme.given_up.fight} == {"", "Hall"}


def test_the_other_room_keeps_its_own_wishes(kitchen: Kitchen, make_random_deck: MakeDeck) -> None:
    deck = make_random_deck(200, 7)
    scheme = build_scheme(ask(HERE, kitchen, deck), [_seen(deck, Setting(limits=Limits(lrv={"walls": (20, 35)})))])
    assert 19.9 <= deck.lrv[scheme.rooms[0].roles["walls"]] <= 35.1
    impossible = _seen(deck, Setting(limits=Limits(lrv={"walls": (101, 120)})))
    given = build_scheme(ask(HERE, kitchen, deck), [impossible]).given_up
    assert given is not None
    assert [(wish.kind, wish.room) for wish in given.dropped] == [("lrv", "Hall")]
