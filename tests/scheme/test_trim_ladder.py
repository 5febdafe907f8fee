"""The ladder of trim whites against common practice (no published source): trim_judgements.csv, see SOURCES.md."""

from __future__ import annotations

import csv
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from matcher.colorimetry.iscc_nbs import designation
from matcher.colorimetry.lrv import lrv
from matcher.paints.deck import Deck
from matcher.paints.reading import demo_deck
from matcher.ranking.paint_columns import paints_of
from matcher.ranking.question import ask
from matcher.scheme.build import build_scheme
from matcher.scheme.scheme import TrimStep
from matcher.scheme.trim_ladder import steps_of, verdict_beside
from tests.scheme.test_typed_rooms import ROOMS, surfaces

MakeDeck = Callable[[int, int], Deck]
with Path(__file__).with_name("trim_judgements.csv").open(encoding="utf-8", newline="") as file:
    JUDGEMENTS = list(csv.DictReader(file))


def _lab(text: str) -> np.ndarray:
    return np.array([float(part) for part in text.split(",")])


@pytest.mark.parametrize("row", JUDGEMENTS, ids=lambda row: row["id"])
def test_what_a_trim_does_beside_a_colour(row: dict[str, str]) -> None:
    trim, beside = _lab(row["trim_lab"]), _lab(row["beside_lab"])
    verdict, values = verdict_beside(trim, beside, float(lrv(trim) - lrv(beside)))
    assert verdict == row["verdict"], (row["why"], values)


@pytest.mark.parametrize("row", [row for row in JUDGEMENTS if row["step"] in ("stark", "clean", "creamy")])
def test_each_white_is_of_the_step_it_is_called(row: dict[str, str]) -> None:
    lab = _lab(row["trim_lab"])[None]
    blank = ("",)
    deck = Deck("judged", "", ("a",), ("a",), blank, lab, lrv(lab), np.zeros(1, bool), None)
    assert [step for step, mask in steps_of(paints_of(deck)).items() if mask[0]] == [row["step"]]


@pytest.fixture(scope="module", params=ROOMS)
def ladder(request: pytest.FixtureRequest) -> tuple[TrimStep, ...]:
    return build_scheme(ask(("walls", "trim"), surfaces(request.param), demo_deck())).trim_ladder


def test_every_step_is_a_white_and_warmer_than_the_one_before(ladder: tuple[TrimStep, ...]) -> None:
    """What is white is told by its ISCC-NBS name (NBS Circular 553, 1955), which the ladder does not use."""
    lab = demo_deck().lab
    assert [step.step for step in ladder] == ["stark", "clean", "creamy"]
    assert all(designation(lab[step.paint]).endswith("white") for step in ladder)
    assert np.all(np.diff([lab[step.paint][2] for step in ladder]) > 0)


def test_the_stark_white_never_clashes_with_what_stays(ladder: tuple[TrimStep, ...]) -> None:
    """Common practice, no published source. A white or cream that stays may itself look amiss beside it."""
    for name, verdict, fact in ladder[0].beside:
        assert verdict in ("sits", "contrasts") or dict(fact.values)["sufferer"] == "other", name


def test_a_creamy_trim_beside_a_cool_white_stone_is_flagged() -> None:
    cool = surfaces("blue slate, white tile")
    stone = replace(cool[1], name="worktop", lab=np.array([90.0, -1, -3]))
    stone = replace(stone, colours=tuple(replace(one, lab=np.array([90.0, -1, -3])) for one in stone.colours))
    steps = build_scheme(ask(("walls", "trim"), [cool[0], stone], demo_deck())).trim_ladder
    verdicts = {step.step: {name: verdict for name, verdict, _ in step.beside}["worktop"] for step in steps}
    assert verdicts["creamy"] == "yellows"
    assert verdicts["stark"] in ("sits", "contrasts")


def test_a_deck_without_whites_has_no_ladder(make_random_deck: MakeDeck) -> None:
    deck = make_random_deck(200, 4)
    dark = deck.only(deck.lrv < 60)
    scheme = build_scheme(ask(("walls", "trim"), surfaces("pink granite, pine"), dark))
    assert scheme.trim_ladder == ()
    assert {one.role for one in scheme.roles} == {"walls", "trim"}
