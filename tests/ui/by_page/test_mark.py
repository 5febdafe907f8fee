"""The photos and what is marked in them: verdicts, measured colours, readings of an instrument."""

from __future__ import annotations

import re

import pytest
from streamlit.testing.v1 import AppTest

from matcher.service.access import local_user
from matcher.service.desk import Desk, load_room, new_room, save_document
from tests.ui.page_alone import page, press, text_of
from tests.ui.unread_walls import take_reading_off
from ui import words
from ui.choosing.component import Handed


def test_the_photos_show_their_verdicts(desk: Desk, sample_room: str) -> None:
    test = page("photos", room=sample_room)
    said = text_of(test)
    assert "tile_day.jpg" in said
    assert "Large enough" in said
    press(test, words.REMOVE)
    assert len(load_room(desk, local_user(desk), sample_room).photos) == 5, "asked first"
    assert words.REMOVE_MARKS.format(count=13) in text_of(test)
    press(test, words.REMOVE_NO)
    assert "goes too" not in text_of(test)
    press(test, words.REMOVE)
    press(test, words.REMOVE_YES)
    assert len(load_room(desk, local_user(desk), sample_room).photos) == 4


def test_what_is_fine_of_a_photo_is_one_line_and_what_is_not_stands_out(desk: Desk, sample_room: str) -> None:
    bodies = [str(one.proto.body) for one in page("photos", room=sample_room).get("html")]
    whole, tile = (next(body for body in bodies if f">{name}" in body) for name in ("whole_day.jpg", "tile_day.jpg"))
    front, _, fold = whole.partition("<details")
    assert "burnt out" in front
    assert "Large enough" in fold
    assert words.PHOTO_ELSE in fold
    assert "g-poor" not in tile
    assert words.PHOTO_GOOD in tile


def test_one_photo_shows_the_whole_room(desk: Desk, sample_room: str) -> None:
    def whole() -> list[str]:
        photos = load_room(desk, local_user(desk), sample_room).document["photos"]
        return [entry["file"] for entry in photos if entry.get("whole_room")]

    assert whole() == ["whole_day.jpg"]
    test = page("photos", room=sample_room)
    press(test, words.WHOLE_ROOM_USE)
    assert whole() == ["worktop_day.jpg"]
    press(test, words.WHOLE_ROOM_DROP)
    assert whole() == []


def test_the_marked_room_shows_its_colours_with_their_doubt(desk: Desk, sample_room: str) -> None:
    said = text_of(page("mark", room=sample_room))
    for surface in ("Worktop", "Floor", "Tile", "Cabinets"):
        assert surface in said
    assert "±" in said


def test_a_photo_with_a_grey_scale_can_be_marked_again(desk: Desk, sample_room: str) -> None:
    user = local_user(desk)
    room = load_room(desk, user, sample_room)
    first, *others = room.document["photos"]
    scale = {"kind": "grey scale", "reflectances": [0.9, 0.4, 0.1], "outline": [[10, 10], [90, 10], [90, 40], [10, 40]]}
    document = {**room.document, "photos": [{**first, "references": [*first["references"], scale]}, *others]}
    save_document(desk, user, sample_room, document, revision=room.revision)
    assert words.COLOURS in text_of(page("mark", room=sample_room, photo=first["file"]))


def test_the_doubts_stand_beside_the_colours(desk: Desk, sample_room: str) -> None:
    said = text_of(page("mark", room=sample_room))
    assert words.DOUBTS in said
    assert "would show the camera" in said


def _enter(test: AppTest, values: str, surface: str, **chosen: object) -> None:
    """Type a reading of a surface and ask what it says."""
    next(one for one in test.selectbox if one.label == words.INSTRUMENT_SURFACE).set_value(surface).run()
    next(one for one in test.text_area if one.label == words.INSTRUMENT_VALUES).input(values)
    for box in test.selectbox:
        if box.label in chosen:
            box.set_value(chosen[box.label])
    next(one for one in test.button if one.label == words.INSTRUMENT_READ).click().run()
    assert not test.exception


def _words_in_front(test: AppTest) -> None:
    """What a reading is good to is said in words, its figure stands in the fold."""
    bodies = [str(element.proto.body) for element in test.get("html")]
    (block,) = (body for body in bodies if "may be off by" in body)
    shown, _, folded = block.partition("<details>")
    assert "dE" not in shown
    assert re.search(r"dE00\s\d\.\d", folded)


def test_a_reading_is_shown_then_kept_then_removed(desk: Desk, sample_room: str) -> None:
    take_reading_off(desk, local_user(desk))
    test = page("mark", room=sample_room)
    _enter(test, "55,2 14,1 27,9", "floor")
    said = text_of(test)
    assert words.INSTRUMENT_FOUND.format(55.2, 14.1, 27.9) in said
    assert "D65 was assumed" in said
    _words_in_front(test)
    assert not load_room(desk, local_user(desk), sample_room).document.get("surfaces")
    next(one for one in test.button if one.label == words.INSTRUMENT_KEEP.format(surface="floor")).click().run()
    assert not test.exception
    (kept,) = load_room(desk, local_user(desk), sample_room).document["surfaces"]
    assert (kept["name"], kept["material"], kept["lab"]) == ("floor", "timber", [55.2, 14.1, 27.9])
    assert "Read with an instrument; its other" in text_of(test)
    _words_in_front(test)
    next(one for one in test.button if one.label == words.INSTRUMENT_REMOVE.format(surface="floor")).click().run()
    assert not test.exception
    assert load_room(desk, local_user(desk), sample_room).document["surfaces"] == []


def test_a_reading_in_a_file_for_another_surface(desk: Desk, sample_room: str) -> None:
    take_reading_off(desk, local_user(desk))
    test = page("mark", room=sample_room)
    next(one for one in test.selectbox if one.label == words.INSTRUMENT_SURFACE).set_value(words.INSTRUMENT_OTHER).run()
    next(one for one in test.text_input if one.label == words.INSTRUMENT_NAME).input("sofa")
    next(one for one in test.selectbox if one.label == words.INSTRUMENT_MATERIAL).set_value("textile")
    spectrum = "\n".join(f"{nm}\t0.18" for nm in range(400, 701, 10)).encode()
    # What choosing a file leaves: tests/ui/test_choosing_browser.py does it with a browser.
    test.session_state[f"reading-{sample_room}-file"] = Handed("sofa.txt", spectrum)
    next(one for one in test.button if one.label == words.INSTRUMENT_READ).click().run()
    next(one for one in test.button if one.label == words.INSTRUMENT_KEEP.format(surface="sofa")).click().run()
    assert not test.exception
    (kept,) = load_room(desk, local_user(desk), sample_room).document["surfaces"]
    # L* of Y = 18 is 49.496 (CIE 015:2018, eq. 8.3).
    assert kept == {"name": "sofa", "material": "textile", "lab": [49.5, 0.0, 0.0], "sd": 0.5}
    assert "Sofa" in text_of(test)


@pytest.mark.parametrize(
    ("values", "message"),
    [
        ("oak, waxed", "no values were found"),
        ("Lab D50 55 14 28", "light D50 is written there"),
        ("", words.INSTRUMENT_ONE_OF_TWO),
    ],
)
def test_a_reading_that_cannot_be_read_is_said_and_nothing_kept(
    desk: Desk, sample_room: str, values: str, message: str
) -> None:
    test = page("mark", room=sample_room)
    _enter(test, values, "floor", **{words.INSTRUMENT_LIGHT: "D65"})
    assert message in text_of(test)
    assert not [one for one in test.button if one.label == words.INSTRUMENT_KEEP.format(surface="floor")]


def test_a_room_without_photos_takes_readings(desk: Desk) -> None:
    room = new_room(desk, local_user(desk), "Hall")
    test = page("mark", room=room)
    next(one for one in test.text_input if one.label == words.INSTRUMENT_NAME).input("floor")
    next(one for one in test.text_area if one.label == words.INSTRUMENT_VALUES).input("L 55 a 14 b 28 D65/2")
    next(one for one in test.button if one.label == words.INSTRUMENT_READ).click().run()
    next(one for one in test.button if one.label == words.INSTRUMENT_KEEP.format(surface="floor")).click().run()
    assert not test.exception
    assert "floor" in text_of(page("shortlist", room=room))
