"""The cards of the rooms list: picture, steps, what is new and the next thing to do, from start to answer."""

from __future__ import annotations

from pathlib import Path

import pytest

from matcher.demo.location import demo_room
from matcher.service import client, hints
from matcher.service.access import local_user
from matcher.service.desk import Desk, add_photo, list_rooms, load_room, new_room, note_seen, open_desk, save_document
from matcher.service.first_run import photos_of_sample
from matcher.service.room_list import ROOMS_A_PAGE, RoomCard, list_page, sample_room
from matcher.settings import Settings
from matcher.store.stored import User
from tests.first_start import copy_of
from tests.service.pictures import picture


def card(desk: Desk, user: User) -> RoomCard:
    (one,) = list_page(desk, user).cards
    return one


def test_from_a_new_room_to_an_answer(desk: Desk, user: User) -> None:
    room_id = new_room(desk, user, "Alder Row")
    one = card(desk, user)
    assert (one.picture, one.at, one.next.action, one.standing.kind) == (None, "photos", "photos", "holds")
    token = client.make_link(desk, user, room_id)
    assert card(desk, user).standing.kind == "linked"
    photo = client.add_client_photo(desk, token, picture(1), "a.jpg")
    one = card(desk, user)
    assert one.picture == photo.sha
    assert (one.standing.kind, dict(one.standing.values)) == ("news", {"photos": 1, "poor": 1, "answer": None})
    assert (one.next.action, one.next.step) == ("look", "photos")
    # Looking at the list is no reading of the news.
    assert card(desk, user).standing.kind == "news"
    note_seen(desk, user, load_room(desk, user, room_id), "photos")
    # A photo of 64 pixels is none to measure from.
    assert (card(desk, user).standing.kind, card(desk, user).next.action) == ("unfit", "mark")
    client.share(desk, user, room_id, {})
    assert (card(desk, user).standing.kind, card(desk, user).next.action) == ("shared", "see scheme")
    client.answer(desk, token, "not sure", "")
    one = card(desk, user)
    assert (one.standing.values["answer"], one.standing.values["photos"]) == ("not sure", 0)
    assert one.next.action == "answer"
    note_seen(desk, user, load_room(desk, user, room_id), "answer")
    assert card(desk, user).standing.kind == "answered"


def test_the_picture_of_the_whole_room_comes_first(desk: Desk, user: User) -> None:
    room_id = new_room(desk, user, "Alder Row")
    first = add_photo(desk, room_id, picture(1), "a.jpg", by="consultant")
    second = add_photo(desk, room_id, picture(2), "b.jpg", by="consultant")
    assert card(desk, user).picture == first.sha
    room = load_room(desk, user, room_id)
    photos = [room.document["photos"][0], {**room.document["photos"][1], "whole_room": True}]
    save_document(desk, user, room_id, {**room.document, "photos": photos}, revision=room.revision)
    assert card(desk, user).picture == second.sha


def test_pages_and_a_page_too_far(desk: Desk, user: User) -> None:
    for number in range(ROOMS_A_PAGE + 2):
        new_room(desk, user, f"room {number}")
    first, second, far = (list_page(desk, user, page=page) for page in (0, 1, 7))
    assert (len(first.cards), first.first) == (ROOMS_A_PAGE, 1)
    assert [one.name for one in second.cards] == ["room 1", "room 0"]
    assert (far.first, far.cards) == (second.first, second.cards)
    assert list_page(desk, user, like="nothing of the kind").cards == ()


@pytest.fixture
def furnished(tmp_path: Path, furnished_once: Path) -> Desk:
    return open_desk(Settings(folder=copy_of(furnished_once, tmp_path / "data")))


def test_the_sample_is_known_by_its_photos(furnished: Desk) -> None:
    user = local_user(furnished)
    with demo_room() as sample:
        shas = photos_of_sample(sample)
    (room,) = list_rooms(furnished, user)
    assert sample_room(furnished, user, shas) == room.id
    own = new_room(furnished, user, "Own")
    add_photo(furnished, own, picture(1), "a.jpg", by="consultant")
    cards = list_page(furnished, user, sample=shas).cards
    assert [(one.name, one.sample) for one in cards] == [("Own", False), ("Hazel Close kitchen", True)]
    kitchen = cards[1]
    assert (kitchen.at, kitchen.next.action, kitchen.next.about) == ("shortlist", "choose", "walls")
    assert dict(kitchen.standing.values) == {"photos": 5, "surfaces": 5}


def test_next_things_of_the_sample(furnished: Desk) -> None:
    user = local_user(furnished)
    (summary,) = list_rooms(furnished, user)
    room = load_room(furnished, user, summary.id)
    bare = [*room.document["photos"][:-1], {"file": room.document["photos"][-1]["file"]}]

    def after(**changed: object) -> tuple[str, str, str]:
        now = load_room(furnished, user, room.id)
        save_document(furnished, user, room.id, {**room.document, **changed}, revision=now.revision)
        thing = card(furnished, user).next
        return thing.action, thing.step, thing.about

    assert after(photos=bare) == ("mark photo", "mark", bare[-1]["file"])
    assert after(pins={"walls": "demo-1"}) == ("choose", "shortlist", "trim")
    pinned = {"walls": "demo-1", "trim": "demo-2"}
    # Some areas are outlined: the others may be left alone.
    assert after(pins=pinned) == ("share", "scheme", "")
    plain = [{key: value for key, value in one.items() if key != "areas"} for one in room.document["photos"]]
    assert after(pins=pinned, photos=plain) == ("outline", "mark", "walls")


def test_a_hint_put_away_stays_away_for_who_did_it(desk: Desk, user: User, other: User) -> None:
    assert hints.is_shown(desk, user, "how it goes")
    for _ in range(2):
        hints.put_away(desk, user, "how it goes")
    assert not hints.is_shown(desk, user, "how it goes")
    assert hints.is_shown(desk, other, "how it goes")
    hints.take_out(desk, user, "how it goes")
    assert hints.is_shown(desk, user, "how it goes")
