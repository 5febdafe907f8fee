"""Rooms a page at a time, on both databases: sought whatever the case, sorted by whose turn it is, others' unseen."""

from __future__ import annotations

from datetime import timedelta

import pytest
from sqlalchemy import event

from matcher.service import client
from matcher.service.desk import Desk, add_photo, load_room, new_room, note_seen, save_document, save_remark
from matcher.service.next_photo import ask_for_photo, withdraw_request
from matcher.store.listing import RoomsPage, page_of_rooms, room_with_photos
from matcher.store.stored import User, Whose
from matcher.store.tables import RoomRow
from tests.service.pictures import picture


def listed(desk: Desk, user: User, *, like: str = "", whose: Whose = "all", offset: int = 0) -> RoomsPage:
    return page_of_rooms(desk.store, user.id, like=like, whose=whose, offset=offset, limit=3)


def names(page: RoomsPage) -> list[str]:
    return [one.room.name for one in page.rooms]


def test_pages_follow_one_another_newest_first(desk: Desk, user: User, other: User) -> None:
    rooms = [new_room(desk, user, f"room {number}") for number in range(5)]
    new_room(desk, other, "not mine")
    save_remark(desk, user, rooms[1], "looked at again")
    assert names(listed(desk, user)) == ["room 1", "room 4", "room 3"]
    assert names(listed(desk, user, offset=3)) == ["room 2", "room 0"]
    assert listed(desk, user, offset=9).rooms == ()
    assert listed(desk, user).counts == {"all": 5, "mine": 5, "client": 0}


@pytest.mark.parametrize("like", ["élan", "ÉLAN", "E\u0301lan", "  lan  row ", "ÉLAN ROW 12"])
def test_a_name_is_found_in_any_case_and_form(desk: Desk, user: User, like: str) -> None:
    """Neither database does this by itself: SQLite folds ASCII only, PostgreSQL what its locale knows."""
    new_room(desk, user, "Élan Row 12")
    new_room(desk, user, "Another")
    found = listed(desk, user, like=like)
    assert names(found) == ["Élan Row 12"]
    assert found.counts == {"all": 1, "mine": 1, "client": 0}


@pytest.mark.parametrize("like", ["%", "_", "'", "\0", "\\"])
def test_no_character_stands_for_others(desk: Desk, user: User, like: str) -> None:
    new_room(desk, user, "Plain")
    assert listed(desk, user, like=like).rooms == ()


def test_documents_of_rooms_not_shown_are_not_read(desk: Desk, user: User) -> None:
    for number in range(8):
        new_room(desk, user, f"room {number}")
    loaded: list[str] = []

    def note(row: RoomRow, _: object) -> None:
        loaded.append(row.name)

    event.listen(RoomRow, "load", note)
    try:
        page = listed(desk, user, like="room")
    finally:
        event.remove(RoomRow, "load", note)
    assert sorted(loaded) == sorted(names(page))
    assert page.counts["all"] == 8


def turn(desk: Desk, user: User) -> str:
    page = listed(desk, user)
    (one,) = page.rooms
    assert page.counts == {"all": 1, "mine": int(not one.waits), "client": int(one.waits)}
    assert names(listed(desk, user, whose="client" if one.waits else "mine")) == [one.room.name]
    assert listed(desk, user, whose="mine" if one.waits else "client").rooms == ()
    return "client" if one.waits else "mine"


def test_whose_turn_it_is(desk: Desk, user: User) -> None:
    room_id = new_room(desk, user, "Alder Row")
    assert turn(desk, user) == "mine"
    token = client.make_link(desk, user, room_id)
    assert turn(desk, user) == "client"
    (link,) = client.links(desk, user, room_id)
    client.revoke_link(desk, user, link.id)
    assert turn(desk, user) == "mine"
    token = client.make_link(desk, user, room_id)
    client.add_client_photo(desk, token, picture(1), "a.jpg")
    (one,) = listed(desk, user).rooms
    assert (one.news, one.waits) == (1, False)
    note_seen(desk, user, load_room(desk, user, room_id), "photos")
    assert turn(desk, user) == "mine"
    client.share(desk, user, room_id, {})
    (one,) = listed(desk, user).rooms
    assert one.waits
    assert one.shared is not None
    assert one.shared.utcoffset() == timedelta(0)
    client.answer(desk, token, "like", "")
    assert turn(desk, user) == "mine"


def test_a_photo_asked_for_is_the_clients_turn_until_it_is_here(desk: Desk, user: User) -> None:
    room_id = new_room(desk, user, "Alder Row")
    add_photo(desk, room_id, picture(1), "a.jpg", by="consultant")
    room = load_room(desk, user, room_id)
    floor = {"name": "floor", "material": "timber", "outline": []}
    photos = [{**room.document["photos"][0], "surfaces": [floor]}]
    save_document(desk, user, room_id, {**room.document, "photos": photos}, revision=room.revision)
    room = load_room(desk, user, room_id)
    for _ in range(2):
        ask_for_photo(desk, user, room, "grey card", "floor")
        assert turn(desk, user) == "client"
        withdraw_request(desk, user, room_id)
        assert turn(desk, user) == "mine"
    ask_for_photo(desk, user, room, "grey card", "floor")
    token = client.make_link(desk, user, room_id)
    client.add_client_photo(desk, token, picture(2), "b.jpg")
    note_seen(desk, user, load_room(desk, user, room_id), "photos")
    assert turn(desk, user) == "mine"


def test_a_room_is_found_by_all_its_photos(desk: Desk, user: User, other: User) -> None:
    room_id = new_room(desk, user, "Alder Row")
    shas = [add_photo(desk, room_id, picture(n), f"{n}.jpg", by="consultant").sha for n in (1, 2)]
    half = new_room(desk, user, "Half")
    add_photo(desk, half, picture(1), "1.jpg", by="consultant")
    assert room_with_photos(desk.store, user.id, frozenset(shas)) == room_id
    assert room_with_photos(desk.store, user.id, {*shas, "0" * 64}) is None
    assert room_with_photos(desk.store, user.id, frozenset()) is None
    assert room_with_photos(desk.store, other.id, frozenset(shas)) is None
