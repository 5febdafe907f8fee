"""Rooms seen from each other and wishes that are kept, from room files to what a page shows."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from matcher import service
from matcher.errors import RequestError, RoomFileError
from matcher.report.output import to_json
from matcher.report.reader import scheme_view
from matcher.room.archive import pack
from matcher.service.companions import companion_tiles, rooms_in_view, trim_tiles
from matcher.service.live import LiveRanking
from matcher.service.paint import load_deck

KITCHEN = """
[room]
name = "Kitchen"
[wishes]
roles = ["walls", "trim", "cabinets"]
one_trim = true
[[surfaces]]
name = "floor"
material = "timber"
lab = [55, 14, 28]
[[surfaces]]
name = "worktop"
material = "stone"
lab = [86, 0, -1]
[[rooms]]
file = "hall/room.toml"
through = "open doorway"
"""
HALL = """
[room]
name = "Hall"
[[surfaces]]
name = "tiles"
material = "tile"
lab = [74, 8, 10]
[[rooms]]
file = "../kitchen.toml"
"""


@pytest.fixture
def kitchen(tmp_path: Path) -> Path:
    (tmp_path / "hall").mkdir()
    (tmp_path / "hall" / "room.toml").write_text(HALL)
    (tmp_path / "kitchen.toml").write_text(KITCHEN)
    return tmp_path / "kitchen.toml"


def _live(result: service.Ranked) -> LiveRanking:
    scheme = scheme_view(result.result["scheme"], result.deck)
    return LiveRanking({}, scheme, result.result, (), (), dict)


def test_two_rooms_that_see_each_other(kitchen: Path) -> None:
    found = service.rank(kitchen)
    scheme = found.result["scheme"]
    (hall,) = scheme["rooms"]
    assert scheme["optimal"]
    assert (hall["file"], hall["name"], hall["through"]) == ("hall/room.toml", "Hall", "open doorway")
    assert hall["roles"]["trim"]["code"] == scheme["roles"]["trim"]["code"]
    assert all(check["passes"] for check in hall["checks"])
    assert to_json(service.rank(kitchen).result) == to_json(found.result)
    (seen,) = rooms_in_view(_live(found))
    assert (seen.name, set(seen.paints), seen.misses) == ("Hall", {"walls", "trim"}, ())
    assert "One paint runs through as trim, here and in Hall" in seen.holds


def test_what_goes_with_the_walls_is_ready_to_be_shown(kitchen: Path) -> None:
    found = service.rank(kitchen)
    scheme, live = found.result["scheme"], _live(found)
    tiles = companion_tiles(live)
    assert [tile.kind for tile in tiles] == ["lighter", "darker", "partner"]
    assert {tile.kind: tile.paint.code for tile in tiles if tile.paint} == scheme["companions"]
    steps = trim_tiles(live)
    assert [(tile.step, tile.paint and tile.paint.code) for tile in steps] == [
        (step["step"], step["code"]) for step in scheme["trim_ladder"]
    ]
    for tile, step in zip(steps, scheme["trim_ladder"], strict=True):
        assert {line.name: line.verdict for line in tile.lines} == step["with"]
        assert set(step["with"]) == {"floor", "worktop", "walls", "cabinets"}
        assert all(line.well == (line.verdict in ("sits", "contrasts")) for line in tile.lines)


def test_a_deck_without_whites_says_so(kitchen: Path, tmp_path: Path) -> None:
    deck = load_deck(None)
    dark = deck.only(deck.lrv < 40)
    rows = [
        f"{code},{name},{L},{a},{b}" for code, name, (L, a, b) in zip(dark.codes, dark.names, dark.lab, strict=True)
    ]
    (tmp_path / "dark.csv").write_text("\n".join(["code,name,L,a,b", *rows]))
    found = service.rank(kitchen, deck_path=tmp_path / "dark.csv")
    assert "trim_ladder" not in found.result["scheme"]
    tiles = trim_tiles(_live(found))
    assert [tile.paint for tile in tiles] == [None, None, None]
    assert tiles[0].text == "This deck has no stark white."


def test_mistakes_of_the_other_room_are_told_with_its_entry(kitchen: Path) -> None:
    hall = kitchen.parent / "hall" / "room.toml"
    hall.write_text(HALL.replace('"tile"', '"tiles"') + '[pins]\nwalls = "nowhere"\n')
    with pytest.raises(RoomFileError, match=r"rooms\[0\], surfaces\[0\]\.material: 'tiles' is not one of"):
        service.rank(kitchen)
    hall.write_text(HALL + '[pins]\nwalls = "nowhere"\n')
    with pytest.raises(RequestError, match=r"rooms\[0\], pins"):
        service.rank(kitchen)


def test_a_zip_sees_the_rooms_that_lie_beside_it(kitchen: Path) -> None:
    """A room's zip holds one room; the others are looked for beside it, as beside the room file it was made of."""
    import tomllib

    packed = kitchen.with_suffix(".zip")
    packed.write_bytes(pack(tomllib.loads(KITCHEN), {}, {}))
    assert service.rank(packed).result["scheme"]["rooms"] == service.rank(kitchen).result["scheme"]["rooms"]
    (kitchen.parent / "hall" / "room.toml").unlink()
    with pytest.raises(RoomFileError, match=r"rooms\[0\]\.file: there is no room file 'hall/room\.toml'"):
        service.rank(packed)


@pytest.mark.parametrize(
    ("wishes", "said"),
    [
        ("lrv_of = { walls = [99, 100] }\n", "one wish cannot be kept"),
        ('most_paints = 1\n[[wishes.contrast]]\nbetween = ["walls", "trim"]\nat_least = 20\n', "cannot all be kept"),
        ('[pins]\nwalls = "demo-1"\ntrim = "demo-300"\n', "Of what was chosen already"),
    ],
)
def test_wishes_that_fight_end_in_a_scheme_and_one_warning(tmp_path: Path, wishes: str, said: str) -> None:
    room = tmp_path / "room.toml"
    text = KITCHEN.partition("[[rooms]]")[0].replace("one_trim = true\n", wishes)
    room.write_text(text)
    result = service.rank(room).result
    assert set(result["scheme"]["roles"]) == {"walls", "trim", "cabinets"}
    assert result["scheme"]["optimal"]
    assert said in result["warnings"][0]
    json.dumps(result, allow_nan=False)
    view = scheme_view(result["scheme"], load_deck(None))
    assert (view["given_up"] in result["warnings"]) == ("wishes" in result["scheme"])


def test_a_code_to_avoid_that_the_deck_does_not_have(kitchen: Path) -> None:
    kitchen.write_text(KITCHEN.replace("one_trim", 'avoid = ["demo-x"]\none_trim'))
    with pytest.raises(RequestError, match=r"wishes\.avoid"):
        service.rank(kitchen)
