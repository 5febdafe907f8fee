"""The list of rooms and the sign-in before it; new rooms, and a room that is not there or empty."""

from __future__ import annotations

import pytest

from matcher.service import access, client
from matcher.service.access import local_user
from matcher.service.desk import Desk, delete_room, list_rooms, new_room
from tests.ui.page_alone import page, press, text_of
from ui import words


def test_the_first_page_shows_the_sample_room_and_says_how_to_set_a_passphrase(desk: Desk) -> None:
    said = text_of(page())
    assert "Hazel Close kitchen" in said
    assert "givens user add" in said


def test_without_rooms_the_first_page_says_how_to_begin(desk: Desk, sample_room: str) -> None:
    delete_room(desk, local_user(desk), sample_room)
    test = page()
    assert words.NO_ROOMS in text_of(test)
    press(test, words.NEW_ROOM)
    press(test, words.NEW_ROOM_BEGIN)
    assert words.NEW_ROOM_NAMELESS in text_of(test)
    assert list_rooms(desk, local_user(desk)) == ()
    next(one for one in test.text_input if one.label == words.NEW_ROOM_NAME).input("Attic study")
    press(test, words.NEW_ROOM_BEGIN)
    assert [room.name for room in list_rooms(desk, local_user(desk))] == ["Attic study"]


def test_the_first_page_says_what_this_does_until_it_is_put_away(desk: Desk, sample_room: str) -> None:
    test = page()
    said = text_of(test)
    assert words.PROMISE in said
    assert words.TRY_SAMPLE in said
    assert words.SAMPLE_ROOM in said
    press(test, words.HOW_HIDE)
    assert words.PROMISE not in text_of(test)
    # Also in another session.
    test = page()
    assert words.PROMISE not in text_of(test)
    press(test, words.HOW_SHOW)
    assert words.PROMISE in text_of(test)


def test_a_card_leads_to_the_next_thing_to_do(desk: Desk, sample_room: str) -> None:
    test = page()
    links = {str(link.proto.label): link.proto for link in test.get("page_link")}
    link = links[words.NEXT_THING["choose"].format(role="walls")]
    assert (link.page, link.query_string) == ("shortlist", f"room={sample_room}")
    assert words.STANDING["linked"].split("{")[0] not in text_of(test)
    hall = new_room(desk, local_user(desk), "Hall <b>")
    client.make_link(desk, local_user(desk), hall)
    test = page()
    assert "Link made today, nothing in yet" in text_of(test)
    next(one for one in test.get("button_group")).set_value("client").run()
    said = text_of(test)
    assert "Hazel" not in said
    assert "Hall" in said


def test_rooms_are_leafed_through_and_sought(desk: Desk, sample_room: str) -> None:
    for number in range(13):
        new_room(desk, local_user(desk), f"Élan Row {number}")
    test = page()
    assert "Hazel" not in text_of(test)
    assert words.ROOMS_SHOWN.format(first=1, last=12, count=14) in text_of(test)
    press(test, words.ROOMS_EARLIER)
    assert "Hazel" in text_of(test)
    test.text_input(key="rooms-like").input("élan row 1").run()
    said = text_of(test)
    assert "Élan Row 12" in said
    assert "Élan Row 9" not in said
    test.text_input(key="rooms-like").input("nothing of the kind").run()
    assert words.NO_ROOMS_FOUND.format(like="nothing of the kind") in text_of(test)


def test_with_an_account_nobody_gets_past_the_sign_in(desk: Desk, sample_room: str) -> None:
    access.add_user(desk, "Ada", "a long enough phrase")
    said = text_of(page())
    assert words.SIGN_IN_FIRST in said
    assert "Hazel" not in said


@pytest.mark.parametrize("step", [*words.STEPS, "paint"])
def test_a_page_of_a_room_that_is_not_there_says_so(desk: Desk, step: str) -> None:
    said = text_of(page(step, room="0" * 32))
    assert "room" in said.lower()
    assert "Hazel" not in said


@pytest.mark.parametrize("step", words.STEPS)
def test_a_page_of_an_empty_room_says_what_comes_first(desk: Desk, step: str) -> None:
    room = new_room(desk, local_user(desk), "Empty study")
    said = text_of(page(step, room=room))
    assert "Empty study" in said
    expected = {
        "brief": words.BRIEF_TITLE,
        "photos": words.NO_PHOTOS,
        "mark": words.MARK_NO_PHOTOS,
        "shortlist": words.SHORTLIST_NOTHING,
        "wall": words.WALL_NOTHING,
        "scheme": words.SCHEME_NOTHING,
    }
    for text in [expected[step]] if isinstance(expected[step], str) else expected[step]:
        assert text in said
