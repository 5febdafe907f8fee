"""What a consultant says of light, colour and rooms: common practice, no published source (SOURCES.md)."""

from __future__ import annotations

import csv
from collections.abc import Callable
from datetime import date
from pathlib import Path

import numpy as np
import pytest

from matcher.colorimetry.recovery import recover_reflectance
from matcher.description.comparison import compare_colours
from matcher.light.day import Situation, room_day
from matcher.light.seen import seen
from matcher.paints.deck import Deck
from matcher.ranking.question import Setting
from matcher.surfaces.surface import Surface
from tests.ranking.asking import scores

with Path(__file__).with_name("light_judgements.csv").open(encoding="utf-8", newline="") as file:
    ROWS = list(csv.DictReader(file))

Row = dict[str, str]


def _of(kind: str) -> list[pytest.ParameterSet]:
    rows = [row for row in ROWS if row["kind"] == kind]
    assert rows, kind
    return [pytest.param(row, id=row["id"]) for row in rows]


def _lab(text: str) -> np.ndarray:
    return np.array([float(part) for part in text.split(",")])


def test_every_kind_is_looked_at() -> None:
    kinds = {"warmer", "darker", "darker, unseen", "leans less by warm lamps", "wanted in the north"}
    assert {row["kind"] for row in ROWS} == kinds


@pytest.mark.parametrize("row", _of("warmer"))
def test_the_first_is_the_warmer(row: Row) -> None:
    assert compare_colours(_lab(row["second_lab"]), _lab(row["first_lab"])).warmer == "b", row["why"]


@pytest.mark.parametrize("row", _of("darker"))
def test_the_first_is_the_darker_and_it_shows(row: Row) -> None:
    found = compare_colours(_lab(row["first_lab"]), _lab(row["second_lab"]))
    assert (found.lighter, found.visible) == ("b", True), row["why"]


@pytest.mark.parametrize("row", _of("darker, unseen"))
def test_the_first_is_the_darker_and_nobody_sees_it(row: Row) -> None:
    found = compare_colours(_lab(row["first_lab"]), _lab(row["second_lab"]))
    assert found.lrv_difference > 0
    assert (found.lighter, found.visible) == (None, False), row["why"]


@pytest.mark.parametrize("row", _of("leans less by warm lamps"))
def test_violet_leans_less_by_warm_lamps(row: Row) -> None:
    """As seen, partly used to each light, in the room at noon and by its lamps: how far to the blue side of yellow."""
    day = room_day(Situation(53.4, "N", date(2026, 3, 20), 2700))
    noon, evening = day.hours[12].inside, day.hours[22].inside
    reflectance = recover_reflectance(_lab(row["first_lab"])[None])
    by_day, by_lamps = seen(reflectance, [noon.light, evening.light], [noon.adaptation, evening.adaptation])[0]
    assert by_day[2] < 0 < by_lamps[2], row["why"]


@pytest.mark.parametrize("row", _of("wanted in the north"))
def test_a_north_room_wants_the_lighter_warmer_one(
    row: Row, make_surface: Callable[..., Surface], make_deck: Callable[..., Deck]
) -> None:
    stone = [make_surface("worktop", (1.0, 60, 0, 0))]
    deck = make_deck(_lab(row["first_lab"]), _lab(row["second_lab"]))
    north = Setting(facing="N", latitude=55.0, lamps_k=2700)
    light = scores("walls", stone, deck, north).by_itself.light
    assert light[0] > light[1], row["why"]
