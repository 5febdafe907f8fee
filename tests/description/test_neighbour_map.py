"""The map round a paint: every place keeps what its name says, and stays empty where the deck has nothing."""

from __future__ import annotations

import numpy as np
import pytest
from skimage.color import deltaE_ciede2000

from matcher.description.lookalikes import SAME_LRV, lookalikes
from matcher.description.neighbour_map import PLACES, neighbour_places
from matcher.harmony.warmth import warmth
from matcher.paints.reading import demo_deck
from tests.description.decks import deck_of

GREIGE = [76.0, 1.0, 6.0]


@pytest.mark.parametrize("paint", range(0, 326, 13))
def test_every_place_keeps_its_promise(paint: int) -> None:
    """Against scikit-image's CIEDE2000 and the warm-cool models (tests/harmony/test_warmth.py)."""
    deck = demo_deck()
    here, warm = deck.lab[paint], warmth(deck.lab)
    found = neighbour_places(deck, here, float(deck.lrv[paint]), paint=paint)
    assert tuple(found) == PLACES
    for place, row in found.items():
        if row is None:
            continue
        assert row != paint
        if place in ("lighter", "darker"):
            assert (deck.lrv[row] > deck.lrv[paint]) == (place == "lighter")
            assert deltaE_ciede2000(here, [here[0], *deck.lab[row, 1:]]) <= 3.0
        else:
            assert abs(deck.lrv[row] - deck.lrv[paint]) <= SAME_LRV
            assert 0.8 <= deltaE_ciede2000(here, deck.lab[row]) <= 10.0
        if place in ("warmer", "cooler"):
            assert (warm[row] > warm[paint]) == (place == "warmer")
        if place in ("greener", "pinker"):
            assert (deck.lab[row, 1] < here[1]) == (place == "greener")


def test_the_map_of_a_strip_is_the_strip() -> None:
    """A fan of one greige with one paint on each side: each stands where a consultant would lay it."""
    deck = deck_of(GREIGE, [84, 1, 6], [68, 1, 6], [76, 4, 9.5], [76, -2, 2.5], [76, -3, 8], [76, 5, 4])
    assert list(neighbour_places(deck, deck.lab[0], float(deck.lrv[0]), paint=0).values()) == [1, 2, 3, 4, 5, 6]


def test_a_deck_of_one_and_a_paint_without_neighbours_leave_every_place_empty() -> None:
    alone, far = deck_of(GREIGE), deck_of([0, 0, 0], [60, 40, 40], [95, -30, 60])
    for deck in (alone, far):
        assert set(neighbour_places(deck, deck.lab[0], float(deck.lrv[0]), paint=0).values()) == {None}
        assert not any(getattr(lookalikes(deck, 0), kind) for kind in ("same_lrv_warmer", "lighter", "darker"))
    assert lookalikes(alone, 0).nearest == ()
    assert lookalikes(far, 0).nearest == (1, 2)


def test_among_the_darkest_a_step_is_told_by_lightness() -> None:
    """L* 30 and 24 are LRV 6.2 and 4.1 (CIE 015:2018): a step on a strip, though not three points."""
    deck = deck_of([30, 1, 2], [24, 1, 2], [37, 1, 2], [28.5, 1, 2])
    found = neighbour_places(deck, deck.lab[0], float(deck.lrv[0]), paint=0)
    assert (found["darker"], found["lighter"]) == (1, 2)
    assert lookalikes(deck, 0).darker == (1,)


def test_a_little_darker_and_greener_is_found_where_the_deck_has_one() -> None:
    """Common practice, no published source: the way out when a greige turns pink beside the tile."""
    deck = deck_of(GREIGE, [72, -2, 7], [72, 5, 7], [84, -2, 7], [50, -2, 7])
    assert lookalikes(deck, 0).greener_darker == (1,)
    assert lookalikes(deck_of(GREIGE, [72, 5, 7]), 0).greener_darker == ()


def test_a_colour_that_is_no_paint_has_a_map_too() -> None:
    deck = deck_of([84, 1, 6], [68, 1, 6])
    found = neighbour_places(deck, np.array(GREIGE), 49.9)
    assert (found["lighter"], found["darker"], found["warmer"]) == (0, 1, None)
