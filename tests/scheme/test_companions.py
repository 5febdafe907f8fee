"""Companions of the walls' paint: common practice, no published source; hue and names by other libraries."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
import pytest
from coloraide import Color

from matcher.colorimetry.lrv import lrv
from matcher.paints.deck import Deck
from matcher.paints.reading import demo_deck
from matcher.ranking.question import Setting, ask
from matcher.ranking.shortlist import Reason
from matcher.scheme.build import build_scheme
from matcher.scheme.scheme import Scheme
from matcher.surfaces.surface import Surface, SurfaceColour
from tests.scheme.test_typed_rooms import ROOMS, surfaces

MakeDeck = Callable[[int, int], Deck]
Kitchen = tuple[Surface, ...]


def _deck(*labs: Sequence[float]) -> Deck:
    lab = np.array(labs, float)
    codes, blank = tuple(f"p{row}" for row in range(len(lab))), ("",) * len(lab)
    return Deck("typed", "", codes, codes, blank, lab, lrv(lab), np.zeros(len(lab), bool), None)


def _hue(lab: np.ndarray) -> float:
    return float(Color("lab-d65", lab.tolist()).convert("lch-d65")["hue"])


@pytest.mark.parametrize("room", ROOMS)
def test_they_lie_where_they_are_said_to(room: str) -> None:
    """A lighter one about 20 LRV up, of the walls' hue; a partner across the circle (hues by coloraide)."""
    deck = demo_deck()
    scheme = build_scheme(ask(("walls", "trim"), surfaces(room), deck))
    walls = next(one.paint for one in scheme.roles if one.role == "walls")
    found = {one.kind: one for one in scheme.companions}
    assert "lighter" in found
    for kind, low, high in (("lighter", 14, 26), ("darker", -37, -13)):
        if kind in found:  # walls that are light or dark enough leave no room
            assert low <= deck.lrv[found[kind].paint] - deck.lrv[walls] <= high
            step = abs(_hue(deck.lab[found[kind].paint]) - _hue(deck.lab[walls]))
            assert min(step, 360 - step) < 25
    if "partner" in found:
        step = abs(_hue(deck.lab[found["partner"].paint]) - _hue(deck.lab[walls]))
        assert min(step, 360 - step) > 120
    for one in scheme.companions:
        assert dict(one.fact.values)["lrv_step"] == pytest.approx(deck.lrv[one.paint] - deck.lrv[walls])


WALLS = (70.0, 1.5, 8.0)
TRIM = (95.0, 0.0, 1.0)


@pytest.mark.parametrize(
    ("other", "kind", "why"),
    [
        ((81.0, 1.2, 6.0), "lighter", "about 20 points up, the same lean"),
        ((81.0, -4.0, 6.0), None, "as light, but green"),
        ((81.0, 5.0, -2.0), None, "as light, but pink"),
        ((90.0, 1.0, 5.0), None, "twice as far up"),
        ((72.0, 1.5, 8.0), None, "a touch lighter is none"),
        ((47.0, 2.0, 11.0), "darker", "a darker one of the family"),
        ((47.0, -9.0, 4.0), None, "a darker green is none of it"),
        ((55.0, -2.0, -9.0), "partner", "a dusty blue beside a beige"),
        ((55.0, -8.0, -38.0), None, "a strong blue is not quiet"),
    ],
)
def test_which_of_two_paints_is_a_companion(other: tuple[float, float, float], kind: str | None, why: str) -> None:
    question = ask(("walls", "trim"), [_stone()], _deck(WALLS, TRIM, other), Setting(pins={"walls": 0, "trim": 1}))
    found = [one.kind for one in build_scheme(question).companions if one.paint == 2]
    assert found == ([kind] if kind else []), why


def test_walls_without_a_tint_have_no_partner_and_a_plain_lighter_one() -> None:
    deck = _deck((70.0, 0.0, 0.5), TRIM, (81.0, 0.2, 0.4), (81.0, 3.0, 8.0), (55.0, -2.0, -9.0))
    question = ask(("walls", "trim"), [_stone()], deck, Setting(pins={"walls": 0, "trim": 1}))
    assert {one.kind: one.paint for one in build_scheme(question).companions} == {"lighter": 2}


def test_cabinets_are_repainted_so_that_the_stone_can_stay() -> None:
    """Pink-violet doors over yellow stone: a fight of the trade, put right by a paint that leans as the stone does."""
    old = Surface("Cabinets", "paint", *_one((72.0, 10.0, -6.0)), 0.3, "photo", True)
    deck = _deck((80.0, 1.0, 9.0), (93.0, 0.3, 3.0), (60.0, 0.0, 10.0))
    question = ask(
        ("walls", "trim", "cabinets"), [_stone(), old], deck, Setting(pins={"walls": 0, "trim": 1, "cabinets": 2})
    )
    scheme = build_scheme(question)
    (said,) = _reasons(scheme, "lets-given-stay")
    # Of all that speaks for these doors it is told first: a stone that stays is what the client gains by them.
    (doors,) = [one.reasons for one in scheme.roles if one.role == "cabinets"]
    assert doors[0] == said
    assert max(reason.weight for reason in doors) <= 1
    values = dict(said.values)
    assert said.surfaces == ("worktop",)
    assert said.favours
    assert values["role"] == "cabinets"
    assert float(values["old_clash"]) >= 0.2 > 0.05 > float(values["clash"])
    # Where nobody measured the old paint, nothing is claimed of it.
    alone = ask(("walls", "trim", "cabinets"), [_stone()], deck, question.setting)
    assert not _reasons(build_scheme(alone), "lets-given-stay")


def _reasons(scheme: Scheme, kind: str) -> list[Reason]:
    return [reason for one in scheme.roles for reason in one.reasons if reason.kind == kind]


def _stone() -> Surface:
    return Surface("worktop", "stone", *_one((77.0, 3.0, 18.0)), 0.7, "photo", True)


def _one(lab: Sequence[float]) -> tuple[tuple[SurfaceColour, ...], np.ndarray, np.ndarray]:
    colour, doubt = np.array(lab, float), np.eye(3) * 0.5
    return (SurfaceColour(colour, doubt, 1.0, "field"),), colour, doubt
