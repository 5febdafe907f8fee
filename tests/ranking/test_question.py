"""What is asked, and what is chosen already."""

from __future__ import annotations

import numpy as np
import pytest

from matcher.errors import RequestError
from matcher.paints.deck import Deck
from matcher.ranking import weights
from matcher.ranking.paint_columns import paints_of
from matcher.ranking.question import Setting, ask
from matcher.surfaces.surface import Surface


def test_a_role_has_the_other_roles_beside_it(kitchen: tuple[Surface, ...], random_deck: Deck) -> None:
    question = ask(["walls", "door", "walls"], kitchen, random_deck, Setting(pins={"trim": 3, "door": 8}))
    assert question.roles == ("walls", "door")
    assert question.open_roles == ("walls",)
    beside = question.beside("door")
    assert set(beside) == {"trim"}
    np.testing.assert_array_equal(beside["trim"], random_deck.lab[3])
    assert set(question.beside("walls")) == {"trim", "door"}
    assert question.with_pins({"walls": 1}).open_roles == ("door",)


@pytest.mark.parametrize(("roles", "pins"), [(["roof"], {}), (["walls"], {"roof": 0})])
def test_a_role_that_nobody_knows_is_named_beside_those_there_are(
    roles: list[str], pins: dict[str, int], kitchen: tuple[Surface, ...], random_deck: Deck
) -> None:
    with pytest.raises(RequestError) as caught:
        ask(roles, kitchen, random_deck, Setting(pins=pins))
    (problem,) = caught.value.problems
    assert "'roof'" in problem.where
    assert "none we know" in problem.what
    assert all(role in problem.remedy for role in weights.ROLES)


def test_columns_at_hand_are_used(kitchen: tuple[Surface, ...], random_deck: Deck) -> None:
    columns = paints_of(random_deck)
    assert ask(["walls"], kitchen, random_deck, paints=columns).paints is columns
