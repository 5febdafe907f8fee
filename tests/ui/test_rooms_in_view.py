"""Rooms in view, page by page, without a browser: chosen in the brief, shown on the scheme, left out and said to be."""

from __future__ import annotations

from matcher.service.access import local_user
from matcher.service.desk import Desk, delete_room, load_room, new_room, save_document
from tests.ui.page_alone import page, press, text_of
from ui import words

TILES = {"name": "tiles", "material": "tile", "lab": [74, 8, 10]}


def test_a_room_chosen_in_the_brief_is_seen_on_the_scheme(desk: Desk, sample_room: str) -> None:
    user = local_user(desk)
    assert words.IN_VIEW_NONE in text_of(page("brief", room=sample_room))
    hall = new_room(desk, user, "Hall <i>")
    room = load_room(desk, user, hall)
    save_document(desk, user, hall, {**room.document, "surfaces": [TILES]}, revision=room.revision)
    test = page("brief", room=sample_room)
    next(one for one in test.multiselect if one.label == words.IN_VIEW_CHOOSE).set_value([hall]).run()
    label = words.IN_VIEW_THROUGH.format(name="Hall <i>")
    next(one for one in test.text_input if one.label == label).input("glazed door").run()
    assert not test.exception
    assert load_room(desk, user, sample_room).document["rooms"] == [
        {"stored": hall, "name": "Hall <i>", "through": "glazed door"}
    ]
    said = text_of(page("brief", room=sample_room))
    assert f"{words.IN_VIEW}: Hall <i> (glazed door)" in said

    test = page("scheme", room=sample_room)
    said = text_of(test)
    assert words.DOORWAYS in said
    assert f"<b>{words.DOORWAY_KEPT}</b>" not in said
    assert "Hall &lt;i&gt;" in said
    assert words.DOORWAY_THROUGH.format(through="glazed door") in said
    assert words.ZIP_WITHOUT_ROOMS in said
    said = text_of(press(test, words.DOORWAY_KEEP.format(name="Hall <i>")))
    assert said.count(f"<b>{words.DOORWAY_KEPT}</b>") == 2
    assert set(load_room(desk, user, hall).document["pins"]) == {"walls", "trim"}

    delete_room(desk, user, hall)
    test = page("scheme", room=sample_room)
    said = text_of(test)
    assert words.DOORWAYS_SHUT["gone"].format(name="Hall &lt;i&gt;") in said
    assert words.DOORWAYS_NOTE not in said
    link = next(one.proto for one in test.get("page_link") if one.proto.label == words.DOORWAY_TO_BRIEF)
    assert (link.page, link.query_string) == ("brief", f"room={sample_room}")
