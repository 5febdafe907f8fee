"""Quiet partners in a deck: each promise checked against what it is made of, and quick over a large deck."""

from __future__ import annotations

import time

import numpy as np
import pytest

from matcher.description.partners import partners
from matcher.harmony.agreement import undertone_agreement
from matcher.harmony.undertone import undertones
from matcher.paints.reading import demo_deck
from tests.description.decks import deck_of

VIOLET_GREY, OAK = [76.0, 2.0, -2.5], [55.0, 14.0, 28.0]


def _hue_apart(first: np.ndarray, second: np.ndarray) -> float:
    turn = np.degrees(np.arctan2(first[2], first[1]) - np.arctan2(second[2], second[1]))
    return float(abs((turn + 180) % 360 - 180))


@pytest.mark.parametrize("paint", range(3, 326, 19))
def test_every_partner_is_quiet_and_leans_the_other_way(paint: int) -> None:
    """Opposites bring each other out (Chevreul 1839, law of simultaneous contrast)."""
    deck = demo_deck()
    leans = undertones(deck.lab)
    found = partners(deck, deck.lab[paint], paint=paint, stays=[OAK])
    assert bool(found.found) == (found.without is None)
    if leans[paint].strength in ("none", "strong"):
        assert found.without == {"none": "neutral", "strong": "strong"}[leans[paint].strength]
    for one in found.found:
        assert leans[one.paint].strength in ("slight", "clear")
        assert _hue_apart(deck.lab[one.paint], deck.lab[paint]) > 90
        assert min(undertone_agreement(deck.lab[one.paint], other) for other in (deck.lab[paint], OAK)) > -0.15
        for shift, colour in ((one.on_it, deck.lab[paint]), (one.on_partner, deck.lab[one.paint])):
            before, after = np.hypot(*colour[1:]), np.hypot(*(colour + shift[1])[1:])
            assert before < after
        assert 0 < one.gain_it[0] < one.gain_it[1]
        assert 0 < one.gain_partner[0] < one.gain_partner[1]
    smaller = [min(one.gain_it[1], one.gain_partner[1]) for one in found.found]
    assert smaller == sorted(smaller, reverse=True)


def test_a_green_grey_is_the_partner_of_a_violet_one_and_what_fights_is_none() -> None:
    deck = deck_of(VIOLET_GREY, [74, -2.5, 3.0], [74, -12, 16], [74, 2.5, -3], [74, 0, 0])
    assert [one.paint for one in partners(deck, deck.lab[0], paint=0).found] == [1]


def test_what_fights_the_floor_is_no_partner_in_that_room() -> None:
    """A violet-grey makes oak look more orange (common practice, no published source)."""
    deck = deck_of([76.0, -3.0, 3.0], [72, 3.0, -2.0])
    assert partners(deck, deck.lab[0], paint=0).found
    assert partners(deck, deck.lab[0], paint=0, stays=[OAK]).without == "none found"


@pytest.mark.parametrize("labs", [[VIOLET_GREY], [VIOLET_GREY, VIOLET_GREY], [VIOLET_GREY, [0, 0, 0]]])
def test_a_deck_without_any_says_so(labs: list[list[float]]) -> None:
    deck = deck_of(*labs)
    assert partners(deck, deck.lab[0], paint=0).without == "none found"


def test_black_has_no_undertone_to_bring_out() -> None:
    assert partners(demo_deck(), [0.0, 0.0, 0.0]).without == "neutral"


def test_three_thousand_paints_take_no_time() -> None:
    deck = deck_of(*np.random.default_rng(1).uniform([20, -12, -12], [95, 12, 12], (3000, 3)))
    partners(deck, VIOLET_GREY)
    began = time.perf_counter()
    found = partners(deck, VIOLET_GREY, stays=[OAK, [86, 0, 1]])
    # 0.2 s are asked for on an idle machine; this one may be shared.
    assert time.perf_counter() - began < 1.0
    assert found.found
