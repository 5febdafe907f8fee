"""Rooms of the store seen from each other: chosen in the brief, read for the scheme, nobody else's ever."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from matcher import service
from matcher.errors import NotFoundError, RequestError
from matcher.service import live
from matcher.service.archive import import_room
from matcher.service.brief_fields import save_field
from matcher.service.companions import rooms_in_view
from matcher.service.desk import Desk, delete_room, load_room, new_room, save_document
from matcher.service.doorways import doorways, keep_there
from matcher.service.live import LiveRanking
from matcher.service.rooms_chosen import offered_rooms
from matcher.store.stored import User
from tests.service.test_seen_rooms import HALL, KITCHEN
from tests.service.zipped_room import zipped_room

# What has no part in which database it is.
ON_ONE = pytest.mark.parametrize("settings", ["sqlite"], indirect=True)


def stored(desk: Desk, user: User, text: str) -> str:
    """A room of the store that says what a room file's text says, but for the rooms it sees."""
    document = tomllib.loads(text.partition("[[rooms]]")[0])
    room_id = new_room(desk, user, document["room"]["name"])
    save_document(desk, user, room_id, {**document, "photos": []}, revision=1)
    return room_id


def see(desk: Desk, user: User, room_id: str, *others: str, through: str = "open doorway") -> None:
    """Say in a room's brief which others are seen."""
    save_field(desk, user, room_id, "rooms", others)
    for other in others:
        save_field(desk, user, room_id, "rooms", through, part=(other,))


def ranked(desk: Desk, user: User, room_id: str) -> LiveRanking:
    found = live.ranked(desk, load_room(desk, user, room_id))
    assert found is not None
    return found


@pytest.fixture
def kitchen(desk: Desk, user: User) -> str:
    return stored(desk, user, KITCHEN)


@pytest.fixture
def hall(desk: Desk, user: User) -> str:
    return stored(desk, user, HALL)


@ON_ONE
def test_the_scheme_is_that_of_the_command_line(
    desk: Desk, user: User, kitchen: str, hall: str, tmp_path: Path
) -> None:
    (tmp_path / "hall").mkdir()
    (tmp_path / "hall" / "room.toml").write_text(HALL)
    (tmp_path / "kitchen.toml").write_text(KITCHEN)
    expected = service.rank(tmp_path / "kitchen.toml").result["scheme"]
    alone = ranked(desk, user, kitchen)
    assert rooms_in_view(alone) == ()
    see(desk, user, kitchen, hall)
    found = ranked(desk, user, kitchen)
    for one in expected["rooms"]:
        one["file"] = hall
    assert found.result["scheme"] == expected
    (seen,) = rooms_in_view(found)
    assert (seen.file, seen.name, seen.through, seen.kept) == (hall, "Hall", "open doorway", frozenset())
    assert "One paint runs through as trim, here and in Hall" in seen.holds
    assert [door.state for door in doorways(desk, load_room(desk, user, kitchen))] == ["seen"]


def test_a_choice_made_in_the_other_room_is_seen_at_once(desk: Desk, user: User, kitchen: str, hall: str) -> None:
    see(desk, user, kitchen, hall)
    before = rooms_in_view(ranked(desk, user, kitchen))[0]
    room = load_room(desk, user, hall)
    assert before.paints["trim"].code != "demo-40"
    save_document(desk, user, hall, {**room.document, "pins": {"trim": "demo-40"}}, revision=room.revision)
    now = rooms_in_view(ranked(desk, user, kitchen))[0]
    assert (now.paints["trim"].code, now.kept) == ("demo-40", {"trim"})
    # A filter leaves the paints that are kept in the other room.
    wanted = live.Wanted(lrv=(60, 100))
    filtered = live.ranked(desk, load_room(desk, user, kitchen), wanted=wanted)
    assert filtered is not None
    assert rooms_in_view(filtered)[0].paints["trim"].code == "demo-40"


@ON_ONE
def test_what_is_proposed_for_the_other_room_can_be_kept_there(
    desk: Desk, user: User, other: User, kitchen: str, hall: str
) -> None:
    see(desk, user, kitchen, hall)
    room = load_room(desk, user, hall)
    save_document(desk, user, hall, {**room.document, "pins": {"walls": "demo-12"}}, revision=room.revision)
    (seen,) = rooms_in_view(ranked(desk, user, kitchen))
    codes = {role: paint.code for role, paint in seen.paints.items()}
    with pytest.raises(NotFoundError):
        keep_there(desk, other, hall, codes)
    version = live.scheme_version_of(desk, load_room(desk, user, kitchen))
    keep_there(desk, user, hall, {**codes, "walls": "demo-1"})
    assert live.scheme_version_of(desk, load_room(desk, user, kitchen)) != version  # sheets are made anew
    assert load_room(desk, user, hall).document["pins"] == {"walls": "demo-12", "trim": codes["trim"]}
    (now,) = rooms_in_view(ranked(desk, user, kitchen))
    assert (now.paints, now.kept) == (seen.paints, {"walls", "trim"})


def test_a_room_that_cannot_be_read_is_left_out_and_said_to_be(desk: Desk, user: User, kitchen: str, hall: str) -> None:
    attic, pantry = new_room(desk, user, "Attic"), stored(desk, user, HALL.replace('"Hall"', '"Pantry"'))
    see(desk, user, kitchen, hall, attic, pantry)
    room = load_room(desk, user, pantry)
    save_document(desk, user, pantry, {**room.document, "pins": {"trim": "nowhere"}}, revision=room.revision)
    delete_room(desk, user, hall)
    found, room = ranked(desk, user, kitchen), load_room(desk, user, kitchen)
    assert [(door.name, door.state) for door in doorways(desk, room)] == [
        ("Hall", "gone"), ("Attic", "bare"), ("Pantry", "broken"),
    ]  # fmt: skip
    assert rooms_in_view(found) == ()
    said = "The scheme was chosen without the rooms seen from this one: Hall, Attic and Pantry."
    assert said in found.result["warnings"]
    # What is gone can stay in the brief, and be taken out.
    assert offered_rooms(desk, user, room)[hall] == "Hall (not here)"
    see(desk, user, kitchen, hall, attic)
    see(desk, user, kitchen)
    assert "rooms" not in load_room(desk, user, kitchen).document


def test_nobody_sees_into_the_room_of_somebody_else(
    desk: Desk, user: User, other: User, kitchen: str, hall: str
) -> None:
    theirs = stored(desk, other, KITCHEN)
    with pytest.raises(RequestError, match="there is no such room"):
        save_field(desk, other, theirs, "rooms", [hall])
    # Nor by a draft that names it, nor by one that names itself.
    room = load_room(desk, other, theirs)
    entries = [{"stored": hall}, {"stored": theirs}, {"stored": "\0' OR 1=1"}]
    alone = ranked(desk, other, theirs).result
    save_document(desk, other, theirs, {**room.document, "rooms": entries[:2]}, revision=room.revision)
    room = load_room(desk, other, theirs)
    assert [(door.name, door.state) for door in doorways(desk, room)] == [("", "gone"), ("", "gone")]
    assert ranked(desk, other, theirs).result["scheme"] == alone["scheme"]
    assert hall not in offered_rooms(desk, other, load_room(desk, other, new_room(desk, other, "Another kitchen")))
    with pytest.raises(RequestError, match="there is no such room"):
        save_field(desk, other, theirs, "rooms", [entries[2]["stored"]])


@ON_ONE
def test_a_zip_names_the_room_and_finds_it_again(
    desk: Desk, user: User, other: User, kitchen: str, hall: str, tmp_path: Path
) -> None:
    see(desk, user, kitchen, hall)
    data = zipped_room(desk, user, kitchen)
    again, elsewhere = import_room(desk, user, data), import_room(desk, other, data)
    assert load_room(desk, user, again).document["rooms"] == [
        {"stored": hall, "name": "Hall", "through": "open doorway"}
    ]
    assert ranked(desk, user, again).result["scheme"] == ranked(desk, user, kitchen).result["scheme"]
    assert rooms_in_view(ranked(desk, other, elsewhere)) == ()
    (tmp_path / "kitchen.zip").write_bytes(data)
    result = service.rank(tmp_path / "kitchen.zip").result
    assert "rooms" not in result["scheme"]
    assert "The scheme was chosen without the rooms seen from this one: Hall." in result["warnings"]


@ON_ONE
@pytest.mark.parametrize(
    ("value", "part", "said"),
    [
        ([f"{number:032x}" for number in range(7)], (), "7 are chosen, more than the 6"),
        (["hall/room.toml"], (), "there is no such room"),
        ("x" * 61, ("id",), "has 61 characters, more than the 60"),
    ],
)
def test_what_no_brief_can_say(desk: Desk, user: User, value: Any, part: tuple[str, ...], said: str) -> None:
    room_id = new_room(desk, user, "Kitchen")
    document = load_room(desk, user, room_id).document
    save_document(desk, user, room_id, {**document, "rooms": [{"stored": "id"}]}, revision=1)
    with pytest.raises(RequestError, match=said):
        save_field(desk, user, room_id, "rooms", value, part=part)


def test_rooms_of_one_name_are_told_apart(desk: Desk, user: User, kitchen: str, hall: str) -> None:
    twin = stored(desk, user, HALL)
    attic = new_room(desk, user, "Attic")
    names = offered_rooms(desk, user, load_room(desk, user, kitchen))
    assert list(names) == [attic, twin, hall]
    assert names[attic] == "Attic"
    assert names[hall].startswith("Hall, changed ")
