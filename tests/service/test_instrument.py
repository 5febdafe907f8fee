"""Readings kept with a room: understood first, in the room's document, measured and exported with it."""

from __future__ import annotations

from pathlib import Path
from typing import get_args

import pytest

from matcher.errors import ConflictError, ReadingError, RequestError, RoomFileError
from matcher.room import contents
from matcher.room.reading import read_room
from matcher.service import choices, live
from matcher.service.access import local_user
from matcher.service.archive import import_folder, import_room
from matcher.service.desk import Desk, load_room, new_room, open_desk, save_document
from matcher.service.instrument import kept_readings, understand, with_reading, without_reading
from matcher.settings import Settings
from tests.service.zipped_room import zipped_room

FLOOR = "L* 55.2 a* 14.1 b* 27.9 (D65/2)"


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return open_desk(Settings(folder=tmp_path / "data"))


def test_the_choices_are_those_of_the_room_file() -> None:
    assert get_args(contents.Material) == choices.MATERIALS
    assert get_args(contents.Light) == tuple(choices.LIGHTS)


def test_a_reading_is_shown_before_it_is_kept() -> None:
    found = understand(FLOOR)
    assert found.lab == (55.2, 14.1, 27.9)
    assert found.lrv == pytest.approx(23.1, abs=0.05)  # Y of L* 55.2, CIE 015:2018
    assert (found.sd, found.count, found.remarks) == (0.5, 1, ())
    silent = understand("55.2 14.1 27.9\n55.4 14.1 27.9")
    assert silent.count == 2
    assert any("D65 was assumed" in text for text in silent.remarks)
    assert understand(FLOOR.encode()).lab == found.lab
    with pytest.raises(ReadingError):
        understand("oak", light="D50")


def test_a_room_with_readings_alone_is_measured_and_ranked(desk: Desk) -> None:
    user = local_user(desk)
    room = load_room(desk, user, new_room(desk, user, "Hall"))
    document = with_reading(room.document, understand(FLOOR), surface=" floor ", material="timber")
    save_document(desk, user, room.id, document, revision=room.revision)
    room = load_room(desk, user, room.id)
    (kept,) = kept_readings(room.document)
    assert (kept.name, kept.lab, kept.sd) == ("floor", (55.2, 14.1, 27.9), 0.5)
    (surface,) = live.measured(desk, room).surfaces
    assert surface["source"] == "instrument"
    assert "Read with an instrument." in surface["sentence"]
    assert live.ranked(desk, room) is not None
    with pytest.raises(ConflictError):
        save_document(desk, user, room.id, without_reading(document, "floor"), revision=room.revision - 1)


def test_a_second_reading_takes_the_place_of_the_first_and_goes_again() -> None:
    document = {"room": {"name": "x"}, "photos": []}
    first = with_reading(document, understand(FLOOR), surface="floor", material="timber")
    second = with_reading(first, understand("L 60 a 1 b 8 D65/2"), surface="floor", material="timber")
    assert [kept.lab for kept in kept_readings(second)] == [(60, 1, 8)]
    assert without_reading(second, "floor")["surfaces"] == []
    assert "surfaces" not in document


def test_an_outlined_surface_keeps_its_material() -> None:
    square = [[0, 0], [9, 0], [9, 9]]
    photo = {"file": "a.jpg", "surfaces": [{"name": "floor", "material": "tile", "outline": square}]}
    document = with_reading(
        {"room": {"name": "x"}, "photos": [photo]}, understand(FLOOR), surface="floor", material="stone"
    )
    assert document["surfaces"][0]["material"] == "tile"


@pytest.mark.parametrize(("surface", "material"), [("", "stone"), (" ", "stone"), ("floor", "wood")])
def test_a_name_or_material_that_is_none_is_said(surface: str, material: str) -> None:
    with pytest.raises(RequestError):
        with_reading({"room": {"name": "x"}}, understand(FLOOR), surface=surface, material=material)


def test_a_broken_entry_of_a_draft_is_passed_over() -> None:
    assert kept_readings({"surfaces": [{"name": "floor"}, {"lab": [1, 2]}, {"name": "x", "file": "/etc/hosts"}]}) == ()


def test_a_room_file_with_a_reading_in_a_file_comes_in_with_its_numbers(desk: Desk, tmp_path: Path) -> None:
    """What is kept stands by itself: it goes out as a zip and comes in again."""
    (tmp_path / "floor.txt").write_text(FLOOR, encoding="utf-8")
    path = tmp_path / "room.toml"
    path.write_text(
        '[room]\nname = "Hall"\n[[surfaces]]\nname = "floor"\nmaterial = "timber"\nfile = "floor.txt"', encoding="utf-8"
    )
    assert read_room(path).surfaces[0].file == "floor.txt"
    user = local_user(desk)
    room_id = import_folder(desk, user, path)
    (kept,) = kept_readings(load_room(desk, user, room_id).document)
    assert kept.lab == pytest.approx((55.2, 14.1, 27.9))
    again = import_room(desk, user, zipped_room(desk, user, room_id))
    assert kept_readings(load_room(desk, user, again).document)[0].lab == kept.lab


def test_no_kept_room_may_ask_for_a_file(desk: Desk) -> None:
    user = local_user(desk)
    room = load_room(desk, user, new_room(desk, user, "Hall"))
    asking = {"name": "floor", "material": "timber", "file": "/etc/hosts"}
    with pytest.raises(RoomFileError, match="cannot be kept with the room"):
        save_document(desk, user, room.id, {**room.document, "surfaces": [asking]}, revision=room.revision)
