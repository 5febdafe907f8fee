"""The shortlist as tiles, the roles on the wall, and the repaint that is ready before it is asked for."""

from __future__ import annotations

import doctest
import io
import threading
from dataclasses import replace
from itertools import count
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.spaces import linear_srgb_to_xyz, srgb_decode, xyz_to_lab
from matcher.errors import RequestError, UnmeasuredError
from matcher.ranking.called import UNCALLED
from matcher.report import ground
from matcher.report.wording import short_reason
from matcher.service import ahead, live, showing, tiles
from matcher.service.access import local_user
from matcher.service.desk import Desk, list_rooms, load_room, open_desk
from matcher.service.on_the_wall import doubts_of, wall_roles
from matcher.service.records import StoredRoom
from matcher.settings import Settings
from tests.first_start import copy_of

REVISIONS = count(100)


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory, furnished_once: Path) -> Desk:
    return open_desk(Settings(folder=copy_of(furnished_once, tmp_path_factory.mktemp("wall") / "data")))


@pytest.fixture(scope="module")
def room(desk: Desk) -> StoredRoom:
    """The sample kitchen without the reading of its old wall paint: no card lies on its walls."""
    (summary,) = list_rooms(desk, local_user(desk))
    return changed(load_room(desk, local_user(desk), summary.id), surfaces=[])


@pytest.fixture(scope="module")
def ranked(desk: Desk, room: StoredRoom) -> live.LiveRanking:
    found = live.ranked(desk, room)
    assert found is not None
    return found


def changed(room: StoredRoom, **parts: object) -> StoredRoom:
    """The room after a save: with a revision of its own, as the store gives every change."""
    return replace(room, document={**room.document, **parts}, revision=next(REVISIONS))


def with_photo(room: StoredRoom, **parts: object) -> StoredRoom:
    """The room with the picture of the whole of it changed."""
    photos = [{**photo, **parts} if photo.get("whole_room") else photo for photo in room.document["photos"]]
    return changed(room, photos=photos)


@pytest.mark.parametrize("role", ["walls", "trim"])
def test_a_list_falls_into_those_equal_to_the_best_and_the_rest(ranked: live.LiveRanking, role: str) -> None:
    found = tiles.tiles_of(ranked, role)
    listed = ranked.result["shortlists"][role]
    assert {tile.code for tile in found} == {paint["code"] for paint in listed}
    equal = {listed[0]["code"], *listed[0]["tied_with"]}
    assert [tile.group for tile in found] == ["first"] * len(equal) + ["behind"] * (len(found) - len(equal))
    assert {tile.code for tile in found if tile.group == "first"} == equal
    scores = [paint["score"] for paint in listed]
    for group in ("first", "behind"):
        kept = [float(tile.paint["score"]) for tile in found if tile.group == group]
        assert kept == sorted(kept, reverse=True)
        assert set(kept) <= set(scores)


def test_a_tile_gives_one_short_reason_and_no_two_the_same_while_there_are_others(ranked: live.LiveRanking) -> None:
    found = tiles.tiles_of(ranked, "walls")
    for tile in found:
        assert tile.reason
        assert len(tile.reason) < 45
        reasons = [short_reason(fact) for fact in tile.paint["facts"] if fact["favours"]]
        assert tile.reason in reasons
    assert len({tile.reason for tile in found}) == len(found)


def test_a_short_reason_claims_no_more_than_the_long_one() -> None:
    values = {"family": "green", "hue_deg": 140.0, "chroma": 2.6, "visibility": 0.7, "part": "field", "agreement": 0.3}
    fact = {"kind": "undertone-agrees", "surface": "worktop", "favours": True, "values": values}
    given = {"surface_family": "yellow", "surface_hue_deg": 95.0, "surface_chroma": 8.0}
    assert short_reason({**fact, "values": {**values, **given}}) == "Hint of green, suits the worktop"
    unsure = {**values, **given, "surface_family": UNCALLED}
    assert short_reason({**fact, "values": unsure}) == "Hint of green, seems to suit the worktop"
    lighter = {"kind": "lighter-than-given", "surface": "floor", "favours": True, "values": {"lrv_step": 40.0}}
    assert short_reason(lighter) == "Far lighter than the floor"


@pytest.mark.parametrize("lrv", [2.0, 30.0, 40.0, 48.0, 55.0, 62.0, 64.0, 70.0, 76.0, 90.0])
def test_no_paint_melts_into_its_ground(lrv: float) -> None:
    """A grey of that LRV beside the ground it is seen on, by CIEDE2000: plainly two colours."""

    def lab(linear: float) -> np.ndarray:
        return xyz_to_lab(linear_srgb_to_xyz([linear] * 3))

    grey = {"ground": 0xB9, "pale": 0xE0}[tiles.ground_of(lrv)]
    assert delta_e_2000(lab(lrv / 100), lab(float(srgb_decode(grey / 255)))) > 4.0


def test_the_examples_in_the_text_hold() -> None:
    assert doctest.testmod(ground).failed == 0


def test_the_roles_of_the_brief_come_first_and_what_else_is_outlined_after_them(
    desk: Desk, room: StoredRoom, ranked: live.LiveRanking
) -> None:
    found = wall_roles(desk, room, ranked)
    assert [(role.role, role.in_brief, role.state) for role in found] == [
        ("walls", True, "unmeasured"),
        ("trim", True, "not outlined"),
        ("cabinets", False, "ready"),
    ]
    read = changed(room, surfaces=[{"name": "walls", "material": "paint", "lab": [84.3, 1.1, 7.8]}])
    assert wall_roles(desk, read, ranked)[0].state == "ready"
    walls, _, cabinets = found
    assert walls.chosen == ranked.result["scheme"]["roles"]["walls"]["code"]
    assert set(walls.paints) >= {paint["code"] for paint in ranked.result["shortlists"]["walls"]}
    assert len(cabinets.paints) == 8


def test_the_paint_in_use_is_the_one_to_start_with(desk: Desk, room: StoredRoom) -> None:
    # By heart, from anywhere in the deck.
    pinned = changed(room, pins={"walls": "demo-200"})
    ranked = live.ranked(desk, pinned)
    assert ranked is not None
    walls = next(role for role in wall_roles(desk, pinned, ranked) if role.role == "walls")
    assert walls.chosen == "demo-200"
    assert next(iter(walls.paints)) == "demo-200"


def test_a_role_that_cannot_be_painted_says_why(desk: Desk, room: StoredRoom, ranked: live.LiveRanking) -> None:
    found = wall_roles(desk, with_photo(room, references=[]), ranked)
    cannot = {role.role: role.problems for role in found if role.state == "cannot"}
    assert set(cannot) == {"walls", "cabinets"}
    assert "no card tells the light" in cannot["walls"][0]


def test_one_that_was_not_measured_keeps_the_whole_from_being_shown_unasked(desk: Desk, room: StoredRoom) -> None:
    paints = {"walls": "demo-138", "cabinets": "demo-200"}
    with pytest.raises(UnmeasuredError):
        showing.repainted_together(desk, room, paints)
    shown = showing.repainted_together(desk, room, paints, guessed=["walls"])
    doubts = doubts_of(shown.result)
    assert (doubts["walls"].measured, doubts["cabinets"].measured) == (False, True)
    assert 0 < doubts["cabinets"].darker < doubts["walls"].darker < 1
    assert doubts["walls"].brighter > 0
    alone = showing.repainted(desk, room, "cabinets", "demo-200")
    both, one = (np.asarray(Image.open(io.BytesIO(data))).astype(int) for data in (shown.picture, alone.picture))
    # Somewhere they differ much, on the walls; mostly, as JPEG goes, they do not.
    assert np.abs(both - one).max() > 40
    assert np.median(np.abs(both - one)) <= 2
    with pytest.raises(RequestError):
        showing.repainted_together(desk, room, {})


def test_one_paint_may_lie_on_two_roles(desk: Desk, room: StoredRoom) -> None:
    shown = showing.repainted_together(desk, room, {"walls": "demo-138", "cabinets": "demo-138"}, guessed=["walls"])
    assert [said["role"] for said in shown.result["painted"]] == ["walls", "cabinets"]


def test_choosing_a_paint_leaves_what_was_prepared_and_a_mark_does_not(desk: Desk, room: StoredRoom) -> None:
    ready = showing.prepared_role(desk, room, "cabinets")
    assert showing.prepared_role(desk, changed(room, pins={"walls": "demo-138"}), "cabinets") is ready
    areas = next(photo["areas"] for photo in room.document["photos"] if photo.get("whole_room"))
    smaller = [{**area, "outlines": area["outlines"][:1]} for area in areas]
    assert showing.prepared_role(desk, with_photo(room, areas=smaller), "cabinets") is not ready


def test_whoever_asks_while_a_role_is_being_prepared_waits_for_it(
    desk: Desk, room: StoredRoom, monkeypatch: pytest.MonkeyPatch
) -> None:
    from matcher.service import repainting

    made = []
    original = repainting.prepare_repaint

    def slow(*given: object, **named: object) -> object:
        made.append(given)
        threading.Event().wait(0.1)
        return original(*given, **named)  # type: ignore[arg-type]

    monkeypatch.setattr(repainting, "prepare_repaint", slow)
    areas = next(photo["areas"] for photo in room.document["photos"] if photo.get("whole_room"))
    other = with_photo(room, areas=areas[::-1])
    askers = [threading.Thread(target=showing.prepared_role, args=(desk, other, "cabinets")) for _ in range(3)]
    for asker in askers:
        asker.start()
    for asker in askers:
        asker.join()
    assert len(made) == 1


def test_a_room_is_prepared_in_the_background_in_its_latest_state_only(
    desk: Desk, room: StoredRoom, monkeypatch: pytest.MonkeyPatch
) -> None:
    done: list[int] = []
    finished = threading.Event()

    def prepare(_desk: Desk, one: StoredRoom) -> None:
        done.append(one.revision)
        finished.set()

    monkeypatch.setattr(ahead, "prepare_room", prepare)
    states = [changed(room) for _ in range(3)]
    for state in states:
        ahead.prepare_ahead(desk, state, after_s=0.05)
    assert finished.wait(5)
    assert ahead.wait_until_prepared(5)
    assert done == [states[-1].revision]


def test_what_was_prepared_ahead_is_what_a_repaint_uses(desk: Desk, room: StoredRoom) -> None:
    areas = next(photo["areas"] for photo in room.document["photos"] if photo.get("whole_room"))
    other = with_photo(room, areas=[area for area in areas if area["role"] == "cabinets"])
    ahead.prepare_ahead(desk, other, after_s=0)
    assert ahead.wait_until_prepared(20)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("matcher.service.repainting.prepare_repaint", None)
        assert showing.repainted(desk, other, "cabinets", "demo-200").picture


def test_a_room_in_which_nothing_can_be_painted_disturbs_nobody(desk: Desk, room: StoredRoom) -> None:
    ahead.prepare_room(desk, with_photo(room, references=[]))
    ahead.prepare_room(desk, changed(room, photos=[]))


def test_stopping_drops_what_has_not_begun(desk: Desk, room: StoredRoom, monkeypatch: pytest.MonkeyPatch) -> None:
    made: list[str] = []
    monkeypatch.setattr(ahead, "prepare_room", lambda _, room: made.append(room.id))
    waiting = ahead.Ahead()
    waiting.ask(desk, room, 60.0)
    assert waiting.stop(5)
    assert waiting.wait(0)
    assert made == []
