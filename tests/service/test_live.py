"""A stored room followed while it is marked: the same numbers as from the command line, drafts and all."""

from __future__ import annotations

import json
from dataclasses import replace
from itertools import count
from pathlib import Path
from typing import Any

import pytest

from matcher import service
from matcher.demo.location import demo_room
from matcher.errors import RequestError, UnmeasuredError
from matcher.paints.deck import Deck
from matcher.service import live, sharing, showing
from matcher.service.access import local_user
from matcher.service.desk import Desk, list_rooms, load_room, open_desk
from matcher.service.first_run import furnish
from matcher.service.live import deck_of
from matcher.service.records import StoredRoom
from matcher.settings import Settings
from tests.first_start import copy_of


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory, furnished_once: Path) -> Desk:
    return open_desk(Settings(folder=copy_of(furnished_once, tmp_path_factory.mktemp("desk") / "data")))


@pytest.fixture(scope="module")
def room(desk: Desk) -> StoredRoom:
    (summary,) = list_rooms(desk, local_user(desk))
    return load_room(desk, local_user(desk), summary.id)


REVISIONS = count(2)


def changed(room: StoredRoom, document: dict[str, Any]) -> StoredRoom:
    """The room after a save: with a revision of its own, as the store gives every change."""
    return replace(room, document=document, revision=next(REVISIONS))


def test_a_second_start_brings_no_second_sample(desk: Desk) -> None:
    with demo_room() as sample:
        furnish(desk, sample)
    assert len(list_rooms(desk, local_user(desk))) == 1


def test_paints_are_compared_without_reading_the_deck_again(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    codes = ["demo-1", "demo-40", "demo-79"]
    expected = service.compare_paints(codes)["pairs"]
    live.deck_of(desk)

    def read_again(path: Path | None) -> Deck:
        raise AssertionError(f"{path} is read again")

    monkeypatch.setattr("matcher.service.paint.load_deck", read_again)
    assert [(pair["a"], pair["b"]) for pair in live.compared(desk, codes)] == [
        (pair["a"], pair["b"]) for pair in expected
    ]


def test_the_screen_says_what_the_command_line_says(desk: Desk, room: StoredRoom) -> None:
    with demo_room() as sample:
        expected = service.rank(sample).result
    found = live.ranked(desk, room)
    assert found is not None
    assert json.dumps(found.result, sort_keys=True) == json.dumps(expected, sort_keys=True)


def test_a_draft_without_cards_is_guessed_and_told_where_to_lay_one(desk: Desk, room: StoredRoom) -> None:
    photos = [{**entry, "references": []} for entry in room.document["photos"]]
    # Without the instrument's reading of the walls, which needs no card.
    found = live.measured(desk, changed(room, {**room.document, "photos": photos, "surfaces": []}))
    assert found.problems == ()
    names = [surface["name"] for surface in found.surfaces]
    assert len(names) == 4
    assert all(any(f"grey card flat on the {name}" in warning for warning in found.warnings) for name in names)
    assert any("the light was guessed" in warning for warning in found.warnings)


def test_one_bad_card_spoils_its_own_photo_only(desk: Desk, room: StoredRoom) -> None:
    entries = room.document["photos"]
    # The card's outline moved onto the blue-green door of the same close-up: no neutral patch lies there.
    bad = next(entry for entry in entries if entry["file"] == "cabinets_day.jpg")
    reference = {**bad["references"][0], "outline": [[520, 420], [640, 420], [640, 540], [520, 540]]}
    photos = [{**entry, "references": [reference]} if entry is bad else entry for entry in entries]
    found = live.measured(desk, changed(room, {**room.document, "photos": photos}))
    assert {surface["name"] for surface in found.surfaces} >= {"worktop", "floor", "tile"}
    assert any("cabinets_day.jpg" in problem for problem in found.problems)


def test_a_photo_that_was_removed_and_open_outlines_are_left_out(desk: Desk, room: StoredRoom) -> None:
    document = {
        **room.document,
        "photos": [
            *room.document["photos"],
            {"file": "gone.jpg", "surfaces": [{"name": "rug", "material": "textile", "outlines": []}]},
        ],
    }
    found = live.measured(desk, changed(room, document))
    # Four by photo, and the walls by an instrument.
    assert len(found.surfaces) == 5
    assert found.problems == ()


def test_a_filter_ranks_only_what_is_wanted(desk: Desk, room: StoredRoom) -> None:
    wanted = live.Wanted(lrv=(20, 60), families=frozenset({"green", "green-yellow"}), warmth="either")
    found = live.ranked(desk, room, wanted=wanted)
    assert found is not None
    shown = found.result["shortlists"]["walls"]
    assert shown
    assert all(20 <= paint["lrv"] <= 60 for paint in shown)
    deck = live.deck_of(desk)
    described = service.paint._entries(deck, [deck.row_of[paint["code"]] for paint in shown], ())
    assert {paint["undertone"]["family"] for paint in described} <= {"green", "green-yellow"}


def test_a_filter_that_leaves_nothing_is_a_request_error(desk: Desk, room: StoredRoom) -> None:
    with pytest.raises(RequestError, match="Widen"):
        live.ranked(desk, room, wanted=live.Wanted(lrv=(0, 0.5)))


def test_pictures_show_every_surface_and_hold_no_tags(desk: Desk, room: StoredRoom) -> None:
    found = live.pictures(desk, room)
    assert set(found) == {"worktop", "floor", "tile", "cabinets"}
    for data in found.values():
        assert data.startswith(b"\xff\xd8")
        assert b"Exif" not in data


def test_drawings_name_every_surface_and_paint(desk: Desk, room: StoredRoom) -> None:
    found = live.ranked(desk, room)
    assert found is not None
    for drawing in live.plots(found, "walls"):
        assert drawing.svg.startswith("<svg ")
        for name in ("worktop", "floor", "tile", "cabinets"):
            assert name in drawing.alt
        assert all(paint["name"] in drawing.alt for paint in found.result["shortlists"]["walls"])


def test_what_is_shared_holds_no_photo_and_nothing_of_the_deck(desk: Desk, room: StoredRoom) -> None:
    found = live.ranked(desk, room)
    assert found is not None
    shared = sharing.to_share(found, "By the window.")
    assert {paint["role"] for paint in shared["paints"]} == {"Walls", "Trim"}
    assert shared["remark"] == "By the window."
    assert "jpg" not in json.dumps(shared)


def test_the_report_is_one_file_about_this_room(desk: Desk, room: StoredRoom) -> None:
    page = showing.report(desk, room)
    assert "Hazel Close kitchen" in page
    assert str(Path(desk.settings.folder).resolve()) not in page
    client = showing.report(desk, room, appendix=False)
    assert "Repainted" in client
    assert "CIELAB" in page
    assert "CIELAB" not in client
    # A mark that is none stops what a client is given, not the consultant's own page.
    broken = replace(desk, settings=desk.settings.model_copy(update={"letterhead_mark": Path("no-such-mark.png")}))
    assert "CIELAB" in showing.report(broken, room)
    with pytest.raises(RequestError, match="no-such-mark"):
        showing.report(broken, room, appendix=False)


def test_over_an_old_paint_that_nothing_measured_no_picture_comes_unasked(desk: Desk, room: StoredRoom) -> None:
    code, room = deck_of(desk).codes[0], changed(room, {**room.document, "surfaces": []})
    with pytest.raises(UnmeasuredError) as raised:
        showing.repainted(desk, room, "walls", code)
    assert "grey card" in raised.value.problems[0].remedy
    guess = showing.repainted(desk, room, "walls", code, guess=True).result
    assert not guess["old_paint"]["measured"]
    assert showing.repainted(desk, room, "cabinets", code).result["old_paint"]["measured"]


def test_the_app_repaints_the_photo_that_the_command_line_repaints(room: StoredRoom) -> None:
    shown = showing.repaintable(room)
    assert shown is not None
    assert shown.sha == next(photo.sha for photo in room.photos if photo.name == "whole_day.jpg")
    assert shown.roles == ("walls", "cabinets")
    # Of several photos none is said to show the whole room: it is the one in which something is outlined to be painted.
    photos = [{key: value for key, value in entry.items() if key != "whole_room"} for entry in room.document["photos"]]
    assert showing.repaintable(changed(room, {**room.document, "photos": photos})) == shown
    # Where that holds of two, neither way guesses.
    photos[1] = {**photos[1], "areas": photos[0]["areas"]}
    assert showing.repaintable(changed(room, {**room.document, "photos": photos})) is None
