"""The next photo: asked for, come, marked; and nobody else's business."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from matcher.errors import NotFoundError, RequestError
from matcher.service.client import add_client_photo, client_room, make_link
from matcher.service.desk import Desk, add_photo, load_room, new_room, save_document
from matcher.service.next_photo import ask_for_photo, client_request, request_of, withdraw_request
from matcher.store.stored import StoredRoom, User
from tests.service.pictures import picture

CLOSE_UP = Path(__file__).parents[2] / "sample_photos" / "kitchen" / "tile_day.jpg"
OUTLINE = [[4, 4], [40, 4], [40, 40], [4, 40]]


@pytest.fixture
def room(desk: Desk, user: User) -> StoredRoom:
    """A room with a floor outlined in one photo."""
    room_id = new_room(desk, user, "Alder Row kitchen")
    add_photo(desk, room_id, picture(1), "first.jpg", by="consultant")
    return mark(desk, user, room_id, "first.jpg")


def mark(desk: Desk, user: User, room_id: str, name: str) -> StoredRoom:
    """Outline a card and the floor in a photo."""
    room = load_room(desk, user, room_id)
    card: dict[str, Any] = {"kind": "grey card", "reflectance": 0.18, "outline": OUTLINE, "on": "floor"}
    photos = [
        {**p, "references": [card], "surfaces": [{"name": "floor", "material": "timber", "outline": OUTLINE}]}
        if p["file"] == name
        else p
        for p in room.document["photos"]
    ]
    save_document(desk, user, room_id, {**room.document, "photos": photos}, revision=room.revision)
    return load_room(desk, user, room_id)


def test_it_is_asked_for_comes_and_is_ticked_off(desk: Desk, user: User, room: StoredRoom) -> None:
    token = make_link(desk, user, room.id)
    add_client_photo(desk, token, picture(2), "before.jpg")
    assert request_of(room) is None
    assert client_request(client_room(desk, token)) is None

    ask_for_photo(desk, user, room, "grey card", "floor")
    asked = request_of(load_room(desk, user, room.id))
    shown = client_request(client_room(desk, token))
    assert asked is not None
    assert shown is not None
    assert (asked.state, asked.photos) == ("open", ())
    assert shown.state == "open"
    assert "floor" in shown.text

    add_client_photo(desk, token, picture(3), "too small.jpg")
    asked = request_of(load_room(desk, user, room.id))
    assert asked is not None
    assert asked.state == "open", "a photo that has to be taken again is not the one asked for"

    add_client_photo(desk, token, CLOSE_UP.read_bytes(), "after.jpg")
    asked, shown = request_of(load_room(desk, user, room.id)), client_request(client_room(desk, token))
    assert asked is not None
    assert shown is not None
    assert (asked.state, asked.photos, shown.state) == ("come", ("after.jpg",), "come")

    marked = request_of(mark(desk, user, room.id, "after.jpg"))
    assert marked is not None
    assert marked.state == "used"


def test_a_chip_without_a_paint_and_an_open_outline_do_not_tick_it_off(
    desk: Desk, user: User, room: StoredRoom
) -> None:
    """A photo with nothing else is measured by nothing yet."""
    token = make_link(desk, user, room.id)
    ask_for_photo(desk, user, room, "grey card", "floor")
    add_client_photo(desk, token, CLOSE_UP.read_bytes(), "after.jpg")
    marked = mark(desk, user, room.id, "after.jpg")
    *others, entry = marked.document["photos"]
    assert entry["file"] == "after.jpg"
    (card,), (surface,) = entry["references"], entry["surfaces"]
    chip = {"kind": "paint chip", "outline": OUTLINE, "on": "floor"}

    def state_of(**changed: Any) -> str:
        request = request_of(replace(marked, document={**marked.document, "photos": [*others, {**entry, **changed}]}))
        assert request is not None
        return request.state

    assert state_of(references=[chip]) == "come"
    assert state_of(references=[{**card, "outline": []}]) == "come"
    assert state_of(surfaces=[{**surface, "outline": []}]) == "come"
    assert state_of(references=[{**chip, "paint": "demo-1"}]) == "used"
    assert state_of(references=[chip, card]) == "used"


def test_the_consultants_own_photo_is_not_the_one_asked_for(desk: Desk, user: User, room: StoredRoom) -> None:
    ask_for_photo(desk, user, room, "three cards", "floor")
    add_photo(desk, room.id, picture(4), "mine.jpg", by="consultant")
    asked = request_of(load_room(desk, user, room.id))
    assert asked is not None
    assert asked.state == "open"


def test_what_is_withdrawn_is_asked_no_more_and_a_new_one_takes_its_place(
    desk: Desk, user: User, room: StoredRoom
) -> None:
    withdraw_request(desk, user, room.id)
    token = make_link(desk, user, room.id)
    ask_for_photo(desk, user, room, "grey card", "floor")
    withdraw_request(desk, user, room.id)
    withdraw_request(desk, user, room.id)
    assert request_of(load_room(desk, user, room.id)) is None
    assert client_request(client_room(desk, token)) is None
    ask_for_photo(desk, user, room, "daylight", "floor")
    asked = request_of(load_room(desk, user, room.id))
    assert asked is not None
    assert asked.kind == "daylight"


@pytest.mark.parametrize(
    ("kind", "surface"),
    [
        ("paint chips", "floor"),
        ("instrument", "floor"),
        ("sample board", ""),
        ("selfie", "floor"),
        ("grey card", "ceiling"),
    ],
)
def test_only_a_photo_of_what_is_outlined_can_be_asked_for(
    desk: Desk, user: User, room: StoredRoom, kind: str, surface: str
) -> None:
    with pytest.raises(RequestError, match="photo"):
        ask_for_photo(desk, user, room, kind, surface)
    assert request_of(load_room(desk, user, room.id)) is None


def test_nobody_asks_in_a_room_of_somebody_else(desk: Desk, other: User, user: User, room: StoredRoom) -> None:
    with pytest.raises(NotFoundError):
        ask_for_photo(desk, other, room, "grey card", "floor")
    with pytest.raises(NotFoundError):
        withdraw_request(desk, other, room.id)
    assert request_of(load_room(desk, user, room.id)) is None
