"""What to measure next in whole rooms."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from matcher.advice import settle
from matcher.advice.advice import BY_PHOTO, Advice
from matcher.advice.possible import possible_actions
from matcher.advice.settle import what_would_settle
from matcher.paints.reading import demo_deck
from matcher.ranking.question import ask
from matcher.room.contents import RoomFile
from matcher.room.reading import read_room
from matcher.surfaces.measure import RoomMeasurement, measure_room
from matcher.surfaces.surface import Surface

KITCHEN = Path(__file__).parents[2] / "sample_photos" / "kitchen" / "kitchen_daylight.toml"
LAMP = KITCHEN.with_name("kitchen_lamp.toml")
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
    return what_would_settle(ask(ROLES, surfaces, demo_deck()), measurement.photos, seed=seed)


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


def test_what_can_be_done_follows_from_what_the_room_has(measurement: RoomMeasurement) -> None:
    """One picture by day whose one grey card lies on the floor; then as if an instrument had read the tile."""
    possible = {s.name: set(possible_actions(s, measurement.photos)) for s in measurement.surfaces}
    assert possible["floor"] == {"second photo", "three cards", "paint chips", "chart", "instrument"}
    for name in ("worktop", "tile", "cabinets"):
        assert possible[name] == {"grey card", "three cards", "paint chips", "chart", "instrument"}
    read = replace(measurement.surfaces[0], source="instrument")
    assert not set(possible_actions(read, measurement.photos))


def test_three_cards_and_lamp_light_are_seen() -> None:
    """Where all three lie there is nothing to ask for of that kind; by the lamp's own light daylight tells more."""
    found = measure_room(read_room(LAMP))
    possible = {s.name: set(possible_actions(s, found.photos)) for s in found.surfaces}
    assert "three cards" not in possible["worktop"]
    assert "three cards" in possible["floor"]
    assert any("daylight" in kinds for kinds in possible.values())


def test_knowing_more_is_worth_no_less(advice: Advice) -> None:
    """Blackwell's order: an instrument tells whatever a card tells, and more; up to what the draws can resolve."""
    by_kind = {(a.kind, a.surface): a.gain for a in advice.actions}
    lesser = [(kind, name) for kind, name in by_kind if kind in BY_PHOTO]
    assert lesser
    for kind, name in lesser:
        assert by_kind["instrument", name] >= by_kind[kind, name] - 0.1 * advice.regret


def test_few_draws_of_part_of_the_deck_find_what_many_of_all_find(
    measurement: RoomMeasurement, advice: Advice, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The action named gains nearly as much by many draws of the whole deck as the best of those."""
    for name, value in {"_OUTER": 48, "_INNER": 48, "_HOPEFUL": 10**6, "_SCOUTS": 96, "_OF_EACH": 3}.items():
        monkeypatch.setattr(settle, name, value)
    thorough = advice_for(measurement.surfaces, measurement, seed=5)
    gains = {(a.kind, a.surface): a.gain for a in thorough.actions}
    assert advice.best is not None
    assert gains[advice.best.kind, advice.best.surface] >= 0.6 * max(gains.values())
    assert advice.regret == pytest.approx(thorough.regret, rel=0.3)


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


def test_without_an_open_role_nothing_is_to_settle(measurement: RoomMeasurement) -> None:
    found = what_would_settle(ask((), measurement.surfaces, demo_deck()), measurement.photos)
    assert found.stands
    assert found.regret == 0
