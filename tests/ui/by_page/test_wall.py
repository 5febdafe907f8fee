"""The room repainted, and the light that goes through its day."""

from __future__ import annotations

import re
from datetime import date

from matcher.service.access import local_user
from matcher.service.desk import Desk, load_room, new_room, save_document
from tests.ui.page_alone import page, shows, text_of
from tests.ui.unread_walls import take_reading_off
from ui import words


def test_the_wall_says_what_its_picture_does_not_show(desk: Desk, sample_room: str) -> None:
    user = local_user(desk)
    take_reading_off(desk, user)
    room = load_room(desk, user, sample_room)
    wishes = {**room.document["wishes"], "roles": ["walls", "trim", "ceiling"]}
    save_document(desk, user, sample_room, {**room.document, "wishes": wishes}, revision=room.revision)
    test = page("wall", room=sample_room)
    said = text_of(test)
    # The brief's own roles first, each with its way; nothing is shown of them unasked.
    assert said.index(">Walls<") < said.index(">Trim<") < said.index(">Ceiling<") < said.index(">Cabinets<")
    assert said.splitlines().count(words.WALL_OUTLINE) == 2
    for word in (words.WALL_UNMEASURED, words.WALL_MEASURE, words.WALL_NOT_OUTLINED, words.WALL_OUTLINE):
        assert word in said
    assert words.WALL_ALSO in said
    assert words.WALL_NOTHING_SHOWN in said
    assert shows(test) == {"paints": {}, "guess": []}
    test.checkbox(key="guess-walls").check().run()
    assert not test.exception
    said = text_of(test)
    assert "A guess: it may come out" in said
    assert words.WALL_NOTE in said
    assert "does not show" in said
    assert shows(test)["guess"] == ["walls"]


def test_a_press_repaints_a_role_and_choices_stay(desk: Desk, sample_room: str) -> None:
    take_reading_off(desk, local_user(desk))
    test = page("wall", room=sample_room)
    test.checkbox(key="guess-walls").check().run()
    test.checkbox(key="show-cabinets").check().run()
    before = shows(test)["paints"]
    assert isinstance(before, dict)
    assert set(before) == {"walls", "cabinets"}
    other = next(one for one in test.button if str(one.key).startswith("try-walls-") and one.key != "try-walls-0")
    other.click().run()
    after = shows(test)["paints"]
    assert isinstance(after, dict)
    assert after["walls"] != before["walls"]
    assert after["cabinets"] == before["cabinets"]
    # To another page and back, in one session.
    test.switch_page("pages/brief.py").run()
    test.switch_page("pages/wall.py").run()
    assert not test.exception
    assert shows(test)["paints"] == after
    test.checkbox(key="show-walls").uncheck().run()
    assert shows(test)["paints"] == {"cabinets": after["cabinets"]}


def test_what_is_shown_is_kept_as_the_scheme(desk: Desk, sample_room: str) -> None:
    take_reading_off(desk, local_user(desk))
    test = page("wall", room=sample_room)
    assert test.button(key="wall-keep").disabled
    test.checkbox(key="guess-walls").check().run()
    test.button(key="try-walls-2").click().run()
    shown = shows(test)["paints"]
    test.button(key="wall-keep").click().run()
    assert not test.exception
    assert load_room(desk, local_user(desk), sample_room).document["pins"] == shown
    # The page that follows is the scheme.
    assert words.STEPS["scheme"] in [title.value for title in test.title]


def test_the_light_goes_through_the_day_with_the_slider(desk: Desk, sample_room: str) -> None:
    test = page("light", room=sample_room)
    said = text_of(test)
    assert "12:00, " in said
    assert "lamps" in said
    for word in (words.LIGHT_WHITE, "Worktop", "Floor", "Tile", "Cabinets"):
        assert f"<span>{word}</span>" in said
    noon = re.findall(r'l-moment"><div role="img" aria-label="[^"]+" style="background:(#[0-9a-f]{6})', said)
    test.select_slider(key="light-at").set_value("21:00").run()
    assert not test.exception
    said = text_of(test)
    assert "21:00, lamps on" in said
    evening = re.findall(r'l-moment"><div role="img" aria-label="[^"]+" style="background:(#[0-9a-f]{6})', said)
    assert len(noon) == len(evening) == 1
    assert noon != evening
    test.button_group(key="light-sky").set_value("overcast").run()
    assert "grey sky" in text_of(test)


def test_the_day_chosen_is_kept_with_the_room(desk: Desk, sample_room: str) -> None:
    test = page("light", room=sample_room)
    assert "an equinox is shown" in text_of(test)
    test.date_input[0].set_value(date(2026, 12, 21)).run()
    assert not test.exception
    assert load_room(desk, local_user(desk), sample_room).document["room"]["date"] == "2026-12-21"
    said = text_of(test)
    assert "2026-12-21" in said
    assert "an equinox is shown" not in said


def test_a_paint_of_the_shortlist_is_seen_through_the_day(desk: Desk, sample_room: str) -> None:
    test = page("light", room=sample_room, paint="demo-5")
    assert "<h2>Bagevolm</h2>" in text_of(test)
    link = next(one for one in page("shortlist", room=sample_room).get("page_link") if one.proto.page == "light")
    assert "paint=demo-" in link.proto.query_string


def test_the_light_of_an_empty_room_says_what_comes_first(desk: Desk) -> None:
    room = new_room(desk, local_user(desk), "Empty study")
    assert words.SHORTLIST_NOTHING[0] in text_of(page("light", room=room))
