"""Whole schemes: what "optimal" claims is checked by trying every combination."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

import numpy as np
import pytest

from matcher.colorimetry.iscc_nbs import designation
from matcher.errors import RequestError
from matcher.paints.deck import Deck
from matcher.ranking import weights
from matcher.ranking.neighbours import RULES, pair_fit
from matcher.ranking.question import Setting, ask
from matcher.scheme import message, search
from matcher.scheme.build import build_scheme
from matcher.scheme.search import best_choice
from matcher.scheme.task import Task
from matcher.surfaces.surface import Surface
from tests.ranking.asking import scores

MakeDeck = Callable[[int, int], Deck]
Kitchen = tuple[Surface, ...]


def _values(roles: Mapping[str, np.ndarray], scores: Mapping[str, np.ndarray], lab: np.ndarray) -> np.ndarray:
    """What schemes are worth, given as rows of every one of them by role."""
    own = sum(weights.ROLE_WEIGHTS[role] * scores[role][rows] for role, rows in roles.items())
    single = lab.astype(np.float32)
    pairs = [pair for pair in RULES if pair[0] in roles and pair[1] in roles]
    fits = sum(pair_fit(a, single[roles[a]], b, single[roles[b]]).astype(np.float64) for a, b in pairs)
    whole = sum(weights.ROLE_WEIGHTS[role] for role in roles) + weights.PAIR_WEIGHT * len(pairs)
    return np.asarray((own + weights.PAIR_WEIGHT * fits) / whole)


@pytest.mark.parametrize("seed", [1, 2])
@pytest.mark.parametrize(
    "roles",
    [
        ("walls", "trim", "ceiling"),
        ("walls", "cabinets", "island"),
        ("trim", "cabinets", "ceiling"),
        ("walls", "accent", "door"),
    ],
)
def test_no_combination_of_a_small_deck_is_better(
    roles: tuple[str, ...], seed: int, kitchen: Kitchen, make_random_deck: MakeDeck
) -> None:
    deck = make_random_deck(10, seed)
    own = {role: scores(role, kitchen, deck).score for role in roles}
    best = _values(dict(zip(roles, np.indices((10, 10, 10)).reshape(3, -1), strict=True)), own, deck.lab).max()
    scheme = build_scheme(ask(roles, kitchen, deck))
    assert scheme.optimal
    assert scheme.score == pytest.approx(best, abs=1e-6)


@pytest.mark.parametrize(
    ("first", "most", "at_once", "many_pairs"), [(24, 512, 1 << 16, 1 << 23), (1, 3, 7, 1 << 23), (1, 3, 7, 0)]
)
def test_the_bounds_that_prove_a_large_deck_hide_nothing(
    first: int,
    most: int,
    at_once: int,
    many_pairs: int,
    kitchen: Kitchen,
    make_random_deck: MakeDeck,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Two roles of 500 paints: far more than the first search looks at, few enough to try all 250,000 pairs."""
    for name, value in (("_FIRST", first), ("_MOST", most), ("_AT_ONCE", at_once), ("_MANY_PAIRS", many_pairs)):
        monkeypatch.setattr(message, name, value)
    deck = make_random_deck(500, 9)
    own = {role: scores(role, kitchen, deck).score.astype(float) for role in ("walls", "trim")}
    single = deck.lab.astype(np.float32)
    fit = pair_fit("walls", single[:, None], "trim", single)
    every = weights.ROLE_WEIGHTS["walls"] * own["walls"][:, None] + weights.ROLE_WEIGHTS["trim"] * own["trim"]
    best = (every + weights.PAIR_WEIGHT * fit).max()
    found = best_choice(Task(own, deck.lab).web())
    assert found.proven
    assert found.value == pytest.approx(float(best), abs=1e-6)


def test_optimal_is_not_claimed_when_too_much_is_left_open(
    kitchen: Kitchen, make_random_deck: MakeDeck, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Paints that all score alike cannot be ruled out by their own scores, nor the ring of three places by a tree:
    beside pink trim a yellow ceiling counts as if nothing were the matter.
    """
    deck = make_random_deck(900, 4)
    level = {role: np.full(900, 0.5) for role in ("walls", "trim", "ceiling")}
    monkeypatch.setattr(search, "_MOST_PAIRS", 1000)
    hue, chroma = np.degrees(np.arctan2(deck.lab[:, 2], deck.lab[:, 1])), np.hypot(deck.lab[:, 1], deck.lab[:, 2])
    pink, yellow = (np.flatnonzero((np.abs(hue - middle) < 15) & (chroma > 5)) for middle in (25, 90))
    found = best_choice(Task(level, deck.lab).web().only({"trim": pink, "ceiling": yellow}))
    assert found.rows
    assert not found.proven


def test_of_paints_of_one_colour_any_is_the_best(monkeypatch: pytest.MonkeyPatch) -> None:
    """No pair of them can be ruled out, and none need be: what all are worth is what the bound says."""
    monkeypatch.setattr(search, "_MOST_PAIRS", 1000)
    level = {role: np.full(900, 0.5) for role in ("walls", "trim", "cabinets")}
    found = best_choice(Task(level, np.tile([70.0, 3.0, 12.0], (900, 1))).web())
    assert found.rows
    assert found.proven


def test_a_pin_is_kept_and_said_to_be_one(kitchen: Kitchen, make_random_deck: MakeDeck) -> None:
    deck = make_random_deck(200, 5)
    scheme = build_scheme(ask(["walls", "cabinets"], kitchen, deck, Setting(pins={"trim": 17})))
    chosen = {one.role: one for one in scheme.roles}
    assert set(chosen) == {"walls", "trim", "cabinets"}
    assert chosen["trim"].paint == 17
    assert [role for role, one in chosen.items() if one.pinned] == ["trim"]
    assert all(one.reasons for one in scheme.roles)


def test_same_inputs_same_scheme_in_any_order_of_roles(kitchen: Kitchen, make_random_deck: MakeDeck) -> None:
    deck = make_random_deck(200, 6)
    assert build_scheme(ask(["walls", "trim"], kitchen, deck)) == build_scheme(
        ask(["trim", "walls"], kitchen[::-1], deck)
    )


def test_checks_carry_their_numbers(kitchen: Kitchen, make_random_deck: MakeDeck) -> None:
    deck = make_random_deck(300, 7)
    scheme = build_scheme(ask(["walls", "trim", "ceiling", "door"], kitchen, deck))
    rows = {one.role: one.paint for one in scheme.roles}
    checks = {(check.rule, check.roles): check for check in scheme.checks}
    lift = checks["trim-lighter-than-walls", ("trim", "walls")]
    assert lift.value == pytest.approx(deck.lrv[rows["trim"]] - deck.lrv[rows["walls"]])
    points = checks["contrast-lrv-points", ("door", "walls")]
    assert points.value == pytest.approx(abs(deck.lrv[rows["door"]] - deck.lrv[rows["walls"]]))
    assert points.passes == (points.value >= 30)
    assert lift.passes
    assert checks["undertones-kin", ("trim", "walls")].passes


def test_alternatives_do_what_they_say(kitchen: Kitchen, make_random_deck: MakeDeck) -> None:
    deck = make_random_deck(500, 8)
    scheme = build_scheme(ask(["walls", "trim"], kitchen, deck))
    base = next(one.paint for one in scheme.roles if one.role == "walls")
    kinds = [other.kind for other in scheme.alternatives]
    assert len(kinds) == len(set(kinds)) >= 3
    for other in scheme.alternatives:
        row = next(one.paint for one in other.roles if one.role == "walls")
        values = dict(other.trade.values)
        assert other.kind != "fewer"  # two paints have none to spare
        assert values["lrv_step"] == pytest.approx(deck.lrv[row] - deck.lrv[base])
        step = {
            "lighter": values["lrv_step"],
            "darker": -float(values["lrv_step"]),
            "warmer": values["warmth_step"],
            "cooler": -float(values["warmth_step"]),
            "quieter": -float(values["chroma_step"]),
            "bolder": values["chroma_step"],
        }[other.kind]
        assert float(step) > 0
        assert other.score <= scheme.score + 1e-9
        assert values["score_cost"] == pytest.approx(scheme.score - other.score, abs=1e-9)


@pytest.mark.parametrize(("seed", "walls"), [(0, 50), (1, 3), (2, 10), (0, None)])
def test_other_ways_keep_trim_and_ceiling_white(
    kitchen: Kitchen, make_random_deck: MakeDeck, seed: int, walls: int | None
) -> None:
    """What is white is told by its ISCC-NBS name (NBS Circular 553, 1955), which the ranking does not use."""
    deck = make_random_deck(300, seed)
    question = ask(["walls", "trim", "ceiling"], kitchen, deck)
    pins = {} if walls is None else {"walls": walls}
    scheme = build_scheme(replace(question, setting=replace(question.setting, pins=pins)))
    assert scheme.alternatives
    for other in scheme.alternatives:
        names = {one.role: designation(deck.lab[one.paint]) for one in other.roles if one.role != "walls"}
        assert all(name.endswith("white") for name in names.values()), (other.kind, names)


def test_trim_is_lighter_than_the_walls_when_chosen_together(kitchen: Kitchen, make_random_deck: MakeDeck) -> None:
    for seed in range(5):
        deck = make_random_deck(300, seed)
        rows = {one.role: one.paint for one in build_scheme(ask(["walls", "trim"], kitchen, deck)).roles}
        assert deck.lrv[rows["trim"]] > deck.lrv[rows["walls"]]


def test_unknown_role_and_no_role(kitchen: Kitchen, make_random_deck: MakeDeck) -> None:
    with pytest.raises(RequestError, match="roof"):
        ask(["roof"], kitchen, make_random_deck(20, 1))
    with pytest.raises(ValueError, match="at least one role"):
        build_scheme(ask([], kitchen, make_random_deck(20, 1)))
