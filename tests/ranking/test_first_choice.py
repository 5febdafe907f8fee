"""The first choice alone is what the whole list puts first, in rooms where much clashes as well."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from matcher.paints.deck import Deck
from matcher.ranking import rank as ranking
from matcher.ranking import weights
from matcher.ranking.limits import Limits
from matcher.ranking.question import Preferences, Setting, ask
from matcher.ranking.rank import first_choice, rank
from matcher.surfaces.surface import Surface

MakeSurface = Callable[..., Surface]
MakeDeck = Callable[..., Deck]


@pytest.mark.parametrize("seed", range(12))
def test_it_is_the_first_of_the_list(seed: int, make_surface: MakeSurface, make_deck: MakeDeck) -> None:
    rng = np.random.default_rng(seed)
    # From decks in which nearly all sits to a few loud paints that fight everything.
    paints = int(rng.choice([4, 12, 60, 400]))
    spread = float(rng.choice([3.0, 12.0, 40.0]))
    labs = np.column_stack([rng.uniform(20, 97, paints), rng.normal(0, spread, paints), rng.normal(5, spread, paints)])
    deck = make_deck(*labs.tolist())
    surfaces = tuple(
        make_surface(f"surface {place}", (1.0, rng.uniform(30, 90), *rng.normal(0, 18, 2))) for place in range(3)
    )
    pins = {"trim": 0} if seed % 2 else {}
    limits = Limits(lrv={"walls": (20.0, 60.0), "door": (10.0, 30.0)}) if seed % 4 == 0 else Limits()
    setting = Setting(Preferences("warm" if seed % 3 else "either"), facing="N", pins=pins, limits=limits)
    roles = tuple(role for role in weights.ROLES if role not in pins)
    question = ask(roles, surfaces, deck, setting)
    for role in roles:
        best = rank(question, role).candidates[0]
        assert first_choice(question, role).paint == best.paint
        assert first_choice(question, role).score == best.score


def test_no_list_is_made_where_enough_is_at_peace(
    kitchen: tuple[Surface, ...], random_deck: Deck, monkeypatch: pytest.MonkeyPatch
) -> None:
    """At a fraction of its cost: surfaces are drawn anew for a list alone."""
    limits = Limits(lrv={"walls": (55.0, 75.0)})
    question = ask(["walls"], kitchen, random_deck, Setting(limits=limits))
    best = rank(question, "walls").candidates[0].paint
    monkeypatch.delattr(ranking, "draw_surfaces")
    assert first_choice(question, "walls").paint == best
    assert 54.9 < random_deck.lrv[best] < 75.1
