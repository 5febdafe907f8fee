"""What to measure next in whole rooms."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from matcher.advice.model import BY_PHOTO, Advice
from matcher.advice.settle import what_would_settle
from matcher.paints.reading import demo_deck
from matcher.ranking.rank import prepare, setting
from matcher.room.model import RoomFile
from matcher.room.reading import read_room
from matcher.surfaces.measure import RoomMeasurement, measure_room
from matcher.surfaces.model import Surface

KITCHEN = Path(__file__).parents[2] / "sample_photos" / "kitchen" / "kitchen_daylight.toml"
ROLES = ("walls", "trim", "cabinets")


def one_card(room: RoomFile) -> RoomFile:
    """The whole picture alone, whose one card lies on the floor."""
    return room.model_copy(update={"photos": tuple(p for p in room.photos if p.whole_room)})


@pytest.fixture(scope="module")
def measurement() -> RoomMeasurement:
    room = read_room(KITCHEN)
    alone = one_card(room)
    return measure_room(alone)


def advice_for(surfaces: tuple[Surface, ...], measurement: RoomMeasurement, seed: int = 0) -> Advice:
    return what_would_settle(ROLES, prepare(surfaces, demo_deck()), setting(), measurement.photos, seed=seed)


@pytest.fixture(scope="module")
def advice(measurement: RoomMeasurement) -> Advice:
    return advice_for(measurement.surfaces, measurement)


def test_it_names_what_gains_most_or_nearly(advice: Advice) -> None:
    gains = [action.gain for action in advice.actions]
    assert gains == sorted(gains, reverse=True)
    assert advice.actions[-1].kind == "sample board"
    assert advice.best is not None
    assert advice.photo is not None
    assert advice.best.gain >= 0.8 * gains[0]
    assert advice.photo.kind in BY_PHOTO
    assert advice.photo.gain >= 0.8 * max(a.gain for a in advice.actions if a.kind in BY_PHOTO)
    assert all(0 <= action.gain <= advice.regret for action in advice.actions)


def test_a_surface_with_its_card_is_not_asked_for_another_first(advice: Advice) -> None:
    """Where the card lies the light is known to a tenth of what it is elsewhere."""
    grey = {action.surface for action in advice.actions if action.kind == "grey card"}
    again = {action.surface for action in advice.actions if action.kind == "second photo"}
    assert grey == {"worktop", "tile", "cabinets"}
    assert again == {"floor"}
    by_kind = {(a.kind, a.surface): a.gain for a in advice.actions}
    assert by_kind["second photo", "floor"] < max(by_kind["grey card", name] for name in grey)


def test_knowing_more_is_worth_no_less(advice: Advice) -> None:
    """Blackwell's order: an instrument tells whatever a card tells, and more; up to what the draws can resolve."""
    by_kind = {(a.kind, a.surface): a.gain for a in advice.actions}
    for name in ("worktop", "tile", "cabinets"):
        assert by_kind["instrument", name] >= by_kind["grey card", name] - 0.15 * advice.regret
        assert by_kind["three cards", name] >= by_kind["grey card", name] - 0.15 * advice.regret


def test_where_all_is_certain_the_advice_stands(measurement: RoomMeasurement) -> None:
    """Perfect knowledge has nothing left to gain."""
    nothing = np.zeros((3, 3))
    certain = tuple(
        replace(s, covariance=nothing, colours=tuple(replace(c, covariance=nothing, causes={}) for c in s.colours))
        for s in measurement.surfaces
    )
    found = advice_for(certain, measurement)
    assert found.stands
    assert found.photo is None
    assert found.regret == pytest.approx(0, abs=1e-6)
    assert all(action.gain == pytest.approx(0, abs=1e-6) for action in found.actions)


def test_instruments_leave_nothing_to_ask(measurement: RoomMeasurement) -> None:
    read = tuple(
        replace(s, source="instrument", colours=tuple(replace(c, covariance=0.25 * np.eye(3)) for c in s.colours))
        for s in measurement.surfaces
    )
    found = advice_for(read, measurement)
    assert [action.kind for action in found.actions] == ["sample board"]
    assert found.best is None


def test_the_same_inputs_give_the_same_advice(measurement: RoomMeasurement, advice: Advice) -> None:
    again = advice_for(measurement.surfaces, measurement)
    assert [(a.kind, a.surface, a.gain, a.change) for a in again.actions] == [
        (a.kind, a.surface, a.gain, a.change) for a in advice.actions
    ]


def test_the_advice_is_no_accident_of_the_draws(measurement: RoomMeasurement, advice: Advice) -> None:
    """Other random numbers name an action that gains nearly as much by these."""
    gains = {(a.kind, a.surface): a.gain for a in advice.actions}
    for seed in (10, 20, 30):
        other = advice_for(measurement.surfaces, measurement, seed=seed)
        assert other.best is not None
        assert gains[other.best.kind, other.best.surface] >= 0.5 * max(gains.values())


def test_without_an_open_role_nothing_is_to_settle(measurement: RoomMeasurement) -> None:
    found = what_would_settle((), prepare(measurement.surfaces, demo_deck()), setting(), measurement.photos)
    assert found.stands
    assert found.regret == 0
