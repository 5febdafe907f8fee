"""What stands round a paint, as page and command get it: one deck or several, with a room and without."""

from __future__ import annotations

import time
import tomllib
from pathlib import Path

import numpy as np
import pytest
from skimage.color import deltaE_ciede2000

from matcher import service
from matcher.errors import RequestError
from matcher.service.access import local_user
from matcher.service.decks import find_among, load_decks
from matcher.service.desk import load_room, new_room, open_desk, save_document
from matcher.service.neighbours import Middle, around, nearest_around, neighbours_in_room
from matcher.service.paint import load_deck
from matcher.settings import Settings
from tests.description.decks import deck_of

KINDS = ["nearest", "same_lrv_warmer", "same_lrv_cooler", "lighter", "darker", "greener_darker"]
FIRST = "code,name,L,a,b\nG1,Plain Grey,65,0,0\nG2,Warm Grey,65,1,5\nG3,Pale Grey,74,0,0\n"
OTHER = "code,name,L,a,b\nG1,PLAIN  grey,58,0,4\nX1,Elsewhere,65,0,0.2\nX2,Sage,60,-4,6\n"
ROOM = """
[room]
name = "Hall"
[wishes]
roles = ["walls", "trim"]
[[surfaces]]
name = "floor"
material = "timber"
lab = [58, 14, 32]
[[surfaces]]
name = "walls"
material = "paint"
lab = [60, -25, 15]
[[surfaces]]
name = "hearth"
material = "stone"
lab = [86, 0, 1]
"""


@pytest.fixture
def files(tmp_path: Path) -> tuple[Path, Path]:
    first, other = tmp_path / "first.csv", tmp_path / "other.csv"
    first.write_text(FIRST, encoding="utf-8")
    other.write_text(OTHER, encoding="utf-8")
    return first, other


@pytest.fixture
def room(tmp_path: Path) -> Path:
    path = tmp_path / "room.toml"
    path.write_text(ROOM, encoding="utf-8")
    return path


def test_the_same_name_in_another_deck_is_found_and_said_how_far_it_is(files: tuple[Path, Path]) -> None:
    first, other = files
    found = service.neighbours(code="Plain Grey", deck_path=first, other_decks=[other])
    (twin,) = found["other_decks"]["other"]["same_name"]
    assert (twin["code"], twin["name"]) == ("G1", "PLAIN  grey")
    assert twin["de00"] == pytest.approx(float(deltaE_ciede2000([65.0, 0, 0], [58.0, 0, 4])), abs=0.005)
    assert twin["says"] == "clearly darker, warmer; you would see it across the room"
    assert found["same_name"] == []
    assert [paint["code"] for paint in found["other_decks"]["other"]["kinds"]["nearest"]] == ["X1", "G1", "X2"]


def test_a_page_lists_the_nearest_first_and_nobody_twice() -> None:
    """The nearest by an independent dE00; then those on the map, of which it may be one."""
    deck = load_deck(None)
    for row in (12, 103, 210):
        found = service.neighbours(code=deck.codes[row])
        listed = [paint["code"] for paint in nearest_around(found)]
        apart = deltaE_ciede2000(np.broadcast_to(deck.lab[row], deck.lab.shape), deck.lab)
        apart[row] = np.inf
        assert listed[0] == deck.codes[int(np.argmin(apart))]
        assert len(listed) == len(set(listed))
        assert set(listed) == {listed[0], *(paint["code"] for paint in found["map"].values() if paint)}


def test_json_keeps_the_kinds_of_the_contract_and_its_codes_are_the_first_decks(files: tuple[Path, Path]) -> None:
    first, other = files
    alone = service.near_json(service.neighbours(code="G1", deck_path=first))
    both = service.near_json(service.neighbours(code="G1", deck_path=first, other_decks=[other]))
    assert list(alone)[:6] == KINDS
    assert {kind: alone[kind] for kind in KINDS} == {kind: both[kind] for kind in KINDS}
    assert alone["nearest"] == ["G2", "G3"]
    assert set(alone["steps"]) == {"G2", "G3"}
    assert "other_decks" not in alone
    assert "pushes" not in alone
    assert list(both["other_decks"]) == ["other"]
    assert list(both["other_decks"]["other"])[:6] == KINDS
    # One code in both decks: each stands with its own deck.
    assert both["other_decks"]["other"]["same_name"] == ["G1"]
    assert both["other_decks"]["other"]["steps"]["G1"]["lrv_difference"] < 0


def test_the_same_deck_twice_is_refused(files: tuple[Path, Path], tmp_path: Path) -> None:
    first, _ = files
    copy = tmp_path / "copy.csv"
    copy.write_text(FIRST, encoding="utf-8")
    for again in (first, copy):
        with pytest.raises(RequestError, match=r"is the same deck as .*first\.csv"):
            load_decks(first, [again])


def test_two_decks_of_one_name_are_numbered_apart(files: tuple[Path, Path], tmp_path: Path) -> None:
    first, _ = files
    (tmp_path / "elsewhere").mkdir()
    twin = tmp_path / "elsewhere" / "first.csv"
    twin.write_text(OTHER, encoding="utf-8")
    assert [deck.name for deck in load_decks(first, [twin])] == ["first", "first 2"]


def test_a_paint_of_another_deck_is_named_with_its_deck(files: tuple[Path, Path]) -> None:
    first, other = files
    decks = load_decks(first, [other])
    assert find_among(decks, "G1") == (0, 0)
    assert find_among(decks, "other:G1") == (1, 0)
    assert find_among(decks, "X2") == find_among(decks, "sage") == (1, 2)
    with pytest.raises(RequestError, match="none of the decks 'first', 'other' has a code 'nope'"):
        find_among(decks, "nope")
    with pytest.raises(RequestError) as caught:
        service.compare_paints(["nope", "G1", "neither"], deck_path=first, other_decks=[other])
    assert len(caught.value.problems) == 2
    pairs = service.compare_paints(["G1", "other:G1", "X2"], deck_path=first, other_decks=[other])["pairs"]
    assert [(pair["a"], pair["b"]) for pair in pairs] == [
        ("G1", "other:G1"),
        ("G1", "other:X2"),
        ("other:G1", "other:X2"),
    ]
    assert pairs[0]["lighter"] == "G1"
    described = service.describe_paint(code="X2", deck_path=first, other_decks=[other])
    assert (described["code"], described["deck"], described["lab"]) == ("other:X2", "other", [60.0, -4.0, 6.0])
    assert "deck" not in service.describe_paint(code="G1", deck_path=first, other_decks=[other])


def test_a_name_of_several_other_decks_is_asked_about(files: tuple[Path, Path], tmp_path: Path) -> None:
    first, other = files
    third = tmp_path / "third.csv"
    third.write_text("code,name,L,a,b\nX1,Third,50,0,0\n", encoding="utf-8")
    with pytest.raises(RequestError, match=r"2 paints of the other decks are called 'X1'.*other:X1, third:X1"):
        find_among(load_decks(first, [other, third]), "X1")


def test_a_neighbour_of_a_paint_of_the_other_deck_may_be_in_the_first(files: tuple[Path, Path]) -> None:
    first, other = files
    found = service.neighbours(code="X1", deck_path=first, other_decks=[other])
    assert found["paint"]["code"] == "other:X1"
    assert found["kinds"]["nearest"][0]["code"] == "G1"
    assert "X1" not in [paint["code"] for paint in found["other_decks"]["other"]["kinds"]["nearest"]]


def test_what_stays_pushes_and_what_is_painted_over_does_not(files: tuple[Path, Path], room: Path) -> None:
    """Beside orange oak a plain grey turns blue (common practice, no published source); old wall paint goes."""
    found = service.neighbours(code="G1", deck_path=files[0], room_path=room)
    assert [push["surface"] for push in found["pushes"]] == ["floor", "hearth"]
    floor, hearth = found["pushes"]
    assert floor["says"] == "The floor will push it towards blue."
    assert floor["visibility"][1] > floor["visibility"][0] >= 1
    assert (hearth["claim"], hearth["says"]) == (None, "")
    assert found["caution"]
    assert found["no_push"] == ""
    assert service.near_json(found)["pushes"] == found["pushes"]
    strong = service.neighbours(lab=[30.0, 60.0, -60.0], deck_path=files[0], room_path=room)
    assert not any(push["claim"] for push in strong["pushes"])
    assert strong["no_push"]


def test_partners_carry_both_shifts(files: tuple[Path, Path]) -> None:
    found = service.neighbours(code="demo-104")
    assert found["no_partner"] == ""
    for partner in found["partners"]:
        assert 0 < partner["visibility"][0] < partner["visibility"][1]
        assert 0 < partner["partner_visibility"][0] < partner["partner_visibility"][1]
        assert np.hypot(*partner["shift"][0]) < np.hypot(*partner["shift"][1])
    assert service.neighbours(code="G1", deck_path=files[0])["no_partner"].startswith("Too neutral")


def test_a_page_says_what_the_command_says(tmp_path: Path, room: Path) -> None:
    """One room by way of a desk and by way of its file; before anything is measured nothing is said to push."""
    desk = open_desk(Settings(folder=tmp_path / "data"))
    user = local_user(desk)
    stored = load_room(desk, user, new_room(desk, user, "Hall"))
    assert neighbours_in_room(desk, stored, "demo-104")["pushes"] == []
    save_document(desk, user, stored.id, tomllib.loads(ROOM), revision=stored.revision)
    stored = load_room(desk, user, stored.id)
    assert neighbours_in_room(desk, stored, "demo-104") == service.neighbours(code="demo-104", room_path=room)
    with pytest.raises(RequestError, match="no code 'nope'"):
        neighbours_in_room(desk, stored, "nope")


@pytest.mark.parametrize("lab", [[0.0, 0.0, 0.0], [100.0, 0.0, 0.0], [30.0, 120.0, -120.0], [5.0, -100.0, 90.0]])
def test_black_white_and_colours_outside_the_gamut_have_an_honest_answer(lab: list[float], room: Path) -> None:
    found = service.neighbours(lab=lab, room_path=room)
    assert len(found["kinds"]["nearest"]) == 5
    assert found["no_partner"]
    service.near_json(found)


def test_a_deck_of_one_paint(tmp_path: Path) -> None:
    path = tmp_path / "one.csv"
    path.write_text("code,name,L,a,b\nA,Only,65,1,-3\n", encoding="utf-8")
    found = service.near_json(service.neighbours(code="A", deck_path=path))
    assert all(found[kind] == [] for kind in KINDS)
    assert set(found["map"].values()) == {None}
    assert (found["partners"], found["steps"]) == ([], {})
    assert found["no_partner"].startswith("Nothing in this deck")


def test_a_large_deck_is_quick() -> None:
    deck = deck_of(*np.random.default_rng(4).uniform([15, -25, -25], [97, 25, 35], (100_000, 3)))
    middle = Middle(np.asarray(deck.lab[7]), float(deck.lrv[7]), deck.codes[7], deck.names[7], row=7)
    load_deck(None)  # tables of names and families are read once
    around([deck_of([50, 1, 2], [60, 1, 2])], Middle(np.array([50.0, 1, 2]), 18.0))
    began = time.perf_counter()
    assert len(around([deck], middle)["kinds"]["nearest"]) == 5
    # Half a second on one core of the machine it was written on.
    assert time.perf_counter() - began < 3.0
