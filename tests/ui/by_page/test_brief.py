"""The brief: fields that save themselves, what cannot be kept, and what somebody else saved meanwhile."""

from __future__ import annotations

import html
from datetime import date

import pytest

from matcher.service.access import local_user
from matcher.service.desk import Desk, load_room, save_document
from matcher.service.live import deck_of
from tests.ui.page_alone import page, text_of, widget
from ui import words


@pytest.mark.parametrize(("step", "following"), [("brief", "photos"), ("photos", "mark")])
def test_the_next_step_is_at_the_end(desk: Desk, sample_room: str, step: str, following: str) -> None:
    last = page(step, room=sample_room).get("page_link")[-1].proto
    assert last.label == words.NEXT_STEP.format(step=words.STEPS[following])
    assert last.page == following


def test_the_brief_saves_itself_field_by_field(desk: Desk, sample_room: str) -> None:
    user = local_user(desk)
    before = load_room(desk, user, sample_room).document
    test = page("brief", room=sample_room)
    assert words.SAVES_ITSELF in text_of(test)
    widget(test.text_input, words.ROOM_NAME).input("Hazel Close kitchen, again").run()
    widget(test.multiselect, words.ROLES_TO_PAINT).select("ceiling").run()
    widget(test.selectbox, words.FACING).set_value("N").run()
    # On the equator.
    widget(test.number_input, words.LATITUDE).set_value(0.0).run()
    widget(test.radio, words.WARMTH).set_value("cool").run()
    widget(test.checkbox, words.LRV_ANY).uncheck().run()
    widget(test.slider, words.LRV_RANGE).set_value((50, 70)).run()
    assert not test.exception
    assert words.SAVED_AT.split("{")[0] in text_of(test)
    room = load_room(desk, user, sample_room)
    assert room.name == "Hazel Close kitchen, again"
    assert room.document == {
        **before,
        "room": {**before["room"], "name": room.name, "facing": "N", "latitude": 0.0},
        "wishes": {"warmth": "cool", "roles": ["walls", "trim", "ceiling"], "lrv": [50.0, 70.0]},
    }
    widget(test.selectbox, words.FACING).select_index(0).run()
    widget(test.checkbox, words.LRV_ANY).check().run()
    document = load_room(desk, user, sample_room).document
    assert "facing" not in document["room"]
    assert "lrv" not in document["wishes"]


def test_house_sizes_and_wishes_to_keep_save_themselves_and_are_said_in_their_folds(
    desk: Desk, sample_room: str
) -> None:
    user = local_user(desk)
    code, name = deck_of(desk).codes[3], deck_of(desk).names[5]
    test = page("brief", room=sample_room)
    widget(test.selectbox, words.COUNTRY).set_value("US").run()
    widget(test.number_input, words.BUILT).set_value(3000).run()
    assert "3000 is not between 1000 and 2100" in text_of(test)
    widget(test.number_input, words.BUILT).set_value(1950).run()
    widget(test.date_input, words.DAY).set_value(date(2026, 6, 21)).run()
    widget(test.number_input, words.SIZE_HEIGHT.format(unit="m")).set_value(None).run()
    assert "Height is missing beside length and width" in text_of(test)
    widget(test.number_input, words.SIZE_WALLS.format(unit="m²")).set_value(25.0).run()
    widget(test.text_input, words.AVOID).input(f"{code}, nothing of the kind").run()
    assert "“nothing of the kind” is no paint of this deck" in html.unescape(text_of(test))
    assert words.NOT_SAVED in text_of(test)
    assert widget(test.text_input, words.AVOID).value == f"{code}, nothing of the kind"
    widget(test.text_input, words.AVOID).input(f"{code}, {name}").run()
    widget(test.multiselect, words.AVOID_FAMILIES).select("red").run()
    widget(test.selectbox, words.MOST_PAINTS).set_value(1).run()
    widget(test.slider, words.KEPT_LRV.format(role="Trim")).set_value((70, 100)).run()
    widget(test.selectbox, words.APART_PAIR.format(first="Walls", second="trim")).set_value((None, 3.0)).run()
    assert not test.exception
    document = load_room(desk, user, sample_room).document
    assert document["room"] | {"country": "US", "built": 1950, "date": "2026-06-21"} == document["room"]
    assert "height" not in document["sizes"]
    assert document["wishes"] == {
        "warmth": "either", "roles": ["walls", "trim"], "avoid": [code, deck_of(desk).codes[5]],
        "avoid_families": ["red"], "most_paints": 1, "lrv_of": {"trim": [70.0, 100.0]},
        "contrast": [{"between": ["walls", "trim"], "at_most": 3.0}],
    }  # fmt: skip
    titles = [str(one.label) for one in test.expander]
    assert f"{words.HOUSE}: United States, built 1950, light of 2026-06-21" in titles
    assert f"{words.KEPT_WISHES}: paints not to use: 2; no pink paint; 3 more" in titles
    widget(test.slider, words.KEPT_LRV.format(role="Trim")).set_value((0, 100)).run()
    assert "lrv_of" not in load_room(desk, user, sample_room).document["wishes"]


def test_what_cannot_be_kept_of_the_brief_is_said_where_it_stands(desk: Desk, sample_room: str) -> None:
    user = local_user(desk)
    test = page("brief", room=sample_room)
    widget(test.text_input, words.ROOM_NAME).input("  ").run()
    assert "a room needs one. Until then it is called “Hazel Close kitchen”" in text_of(test)
    assert words.NOT_SAVED in text_of(test)
    widget(test.multiselect, words.ROLES_TO_PAINT).set_value([]).run()
    assert "nothing is chosen" in text_of(test)
    room = load_room(desk, user, sample_room)
    assert (room.name, room.document["wishes"]["roles"]) == ("Hazel Close kitchen", ["walls", "trim"])
    widget(test.text_input, words.ROOM_NAME).input("Kitchen").run()
    widget(test.multiselect, words.ROLES_TO_PAINT).set_value(["walls"]).run()
    assert words.NOT_SAVED not in text_of(test)
    assert load_room(desk, user, sample_room).document["wishes"]["roles"] == ["walls"]


def test_the_brief_shows_what_somebody_else_saved_and_keeps_it(desk: Desk, sample_room: str) -> None:
    user = local_user(desk)
    test = page("brief", room=sample_room)
    room = load_room(desk, user, sample_room)
    theirs = {**room.document, "wishes": {"warmth": "warm", "roles": ["cabinets"]}}
    save_document(desk, user, sample_room, theirs, revision=room.revision)
    widget(test.text_input, words.ROOM_NAME).input("Mine").run()
    document = load_room(desk, user, sample_room).document
    assert (document["room"]["name"], document["wishes"]) == ("Mine", theirs["wishes"])
    assert widget(test.multiselect, words.ROLES_TO_PAINT).value == ["cabinets"]
    assert widget(test.radio, words.WARMTH).value == "warm"
