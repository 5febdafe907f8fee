"""Lookalikes in the demo deck: each kind keeps its promise for every paint."""

from __future__ import annotations

import numpy as np
import pytest
from coloraide import Color

from matcher.description.lookalikes import SAME_LRV, lookalikes
from matcher.harmony.warmth import warmth
from matcher.paints.deck import Deck
from matcher.paints.reading import demo_deck


@pytest.fixture(scope="module")
def deck() -> Deck:
    return demo_deck()


@pytest.mark.parametrize("paint", range(0, 300, 23))
def test_every_kind_keeps_its_promise(deck: Deck, paint: int) -> None:
    found = lookalikes(deck, paint)
    warm = warmth(deck.lab)
    for row in (*found.same_lrv_warmer, *found.same_lrv_cooler):
        assert abs(deck.lrv[row] - deck.lrv[paint]) <= SAME_LRV
    assert all(warm[row] > warm[paint] for row in found.same_lrv_warmer)
    assert all(warm[row] < warm[paint] for row in found.same_lrv_cooler)
    assert all(deck.lrv[row] > deck.lrv[paint] for row in found.lighter)
    assert all(deck.lrv[row] < deck.lrv[paint] for row in (*found.darker, *found.greener_darker))
    assert all(deck.lab[row, 1] < deck.lab[paint, 1] for row in found.greener_darker)
    assert all(paint not in rows for rows in (found.nearest, found.lighter, found.darker))


def test_nearest_is_what_an_independent_library_finds(deck: Deck) -> None:
    """coloraide's CIEDE2000 over the whole deck."""
    here = Color("lab-d65", list(deck.lab[40]))
    de00 = [here.delta_e(Color("lab-d65", list(lab)), method="2000") for lab in deck.lab]
    expected = [row for row in np.argsort(de00, kind="stable") if row != 40][:5]
    assert list(lookalikes(deck, 40).nearest) == expected


def test_same_lrv_limits_the_nearest(deck: Deck) -> None:
    assert all(abs(deck.lrv[row] - deck.lrv[40]) <= SAME_LRV for row in lookalikes(deck, 40, same_lrv=True).nearest)
