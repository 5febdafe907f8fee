"""How far a room has come: a new one, the sample room, and on to a shared scheme."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from matcher.service.access import local_user
from matcher.service.desk import Desk, list_rooms, load_room, new_room, open_desk
from matcher.service.steps import next_step, step_states
from matcher.settings import Settings
from matcher.store.stored import StoredRoom, User
from tests.first_start import copy_of


@pytest.fixture
def sample(tmp_path: Path, furnished_once: Path) -> StoredRoom:
    desk = open_desk(Settings(folder=copy_of(furnished_once, tmp_path / "data")))
    owner = local_user(desk)
    (summary,) = list_rooms(desk, owner)
    return load_room(desk, owner, summary.id)


def test_a_new_room_begins_with_its_photos_once_the_brief_is_saved(desk: Desk, user: User) -> None:
    room = load_room(desk, user, new_room(desk, user, "Alder Row kitchen"))
    states = step_states(replace(room, document={"room": {"name": room.name}}))
    assert set(states.values()) == {"to do"}
    assert next_step(states) == "brief"
    states = step_states(replace(room, document={**room.document, "wishes": {"roles": ["walls"]}}))
    assert states["brief"] == "done"
    assert next_step(states) == "photos"


def test_the_sample_room_is_marked_and_waits_for_a_choice(sample: StoredRoom) -> None:
    room, states = sample, step_states(sample)
    assert (states["photos"], states["mark"], states["shortlist"], states["scheme"]) == (
        "done", "done", "to do", "to do",
    )  # fmt: skip
    assert next_step(states) == "shortlist"
    some = step_states(replace(room, document={**room.document, "pins": {"walls": "demo-1"}}))
    assert some["shortlist"] == "under way"
    every = step_states(replace(room, document={**room.document, "pins": {"walls": "demo-1", "trim": "demo-2"}}))
    assert (every["shortlist"], every["scheme"]) == ("done", "under way")
    assert step_states(replace(room, shared={}))["scheme"] == "done"


def test_a_photo_without_an_outline_leaves_marking_under_way(sample: StoredRoom) -> None:
    photos = [*sample.document["photos"], {"file": "more.jpg"}]
    assert step_states(replace(sample, document={**sample.document, "photos": photos}))["mark"] == "under way"
