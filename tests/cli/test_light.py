"""``givens light``: the JSON of the contract, what is said, and the honest limits."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from matcher.cli.app import app
from matcher.errors import GivensError

ROOM = """
[room]
name = "Small hall"
{about}
[[surfaces]]
name = "floor"
material = "timber"
lab = [55.0, 14.0, 28.0]

[[surfaces]]
name = "tile"
material = "tile"
lab = [76.0, 1.0, 6.2]
"""
NORTH = 'facing = "N"\nlatitude = 55.9\nlamps_k = 2700\ndate = "2026-12-21"'
DECK = "code,name,L,a,b\nG1,One,70,1,6\nG2,Lighter,82,0.7,4.4\nV1,Two,76,1.5,-3\nK1,Soot,0,0,0\n"
Asked = Callable[..., Any]


@pytest.fixture
def asked(tmp_path: Path) -> Asked:
    """Ask of a room that says ``about`` itself and a deck of four; as JSON where the answer is to be one."""
    (tmp_path / "deck.csv").write_text(DECK, encoding="utf-8")

    def light(about: str, *arguments: str, text: bool = False) -> Any:
        (tmp_path / "room.toml").write_text(ROOM.format(about=about), encoding="utf-8")
        command = ["light", str(tmp_path / "room.toml"), "--deck", str(tmp_path / "deck.csv"), *arguments]
        done = CliRunner().invoke(app, command if text else [*command, "--json"], catch_exceptions=False)
        assert done.exit_code == 0
        return done.stdout if text else json.loads(done.stdout)

    return light


def test_the_keys_of_the_contract(asked: Asked) -> None:
    found = asked(NORTH, "--paint", "G1", "--paint", "V1")
    assert {"latitude", "facing", "date", "hours", "colours", "matches_that_part"} <= set(found)
    assert (found["latitude"], found["facing"], found["date"]) == (55.9, "N", "2026-12-21")
    noon = next(hour for hour in found["hours"] if hour["hour"] == 12.0)
    assert set(noon) >= {"hour", "sun", "light_k", "kind", "level", "adaptation"}
    # Any almanac: 90 - 55.9 - 23.4 degrees at noon of the winter solstice, and a little of refraction.
    assert noon["sun"]["altitude_deg"] == pytest.approx(10.7, abs=0.3)
    assert noon["sun"]["azimuth_deg"] == pytest.approx(180, abs=0.5)
    assert noon["sun"]["on_window"] is False
    assert {hour["kind"] for hour in found["hours"]} <= {"sky", "sun and sky", "dusk", "lamps"}
    assert found["adaptation"] == max(hour["adaptation"] for hour in found["hours"] if hour["kind"] != "lamps")
    assert all(0 <= hour["level"] <= 1 and 0 < hour["adaptation"] <= 1 for hour in found["hours"])
    assert [colour.get("surface") or colour["code"] for colour in found["colours"]] == ["floor", "tile", "G1", "V1"]
    for colour in found["colours"]:
        assert {"hours", "flips", "keeps"} <= set(colour)
        assert 0 <= colour["keeps"] <= 1
        assert [seen["hour"] for seen in colour["hours"]] == [hour["hour"] for hour in found["hours"]]
        assert all({"hour", "lab", "undertone"} <= set(seen) for seen in colour["hours"])
        assert all({"from", "to", "hour"} == set(flip) for flip in colour["flips"])


def test_a_dim_north_room_is_told_to_take_the_lighter_companion(asked: Asked) -> None:
    found = asked(NORTH, "--paint", "G1")
    (advice,) = found["advice"]
    assert (advice["code"], advice["take"]) == ("G1", "G2")
    # LRV of L* 82 and 70 (CIE 015): 60.3 and 40.7.
    assert advice["lrv_difference"] == pytest.approx(60.3 - 40.7, abs=0.1)
    said = asked(NORTH, "--paint", "G1", text=True)
    assert "take the one 20 LRV lighter: Lighter (G2) instead of One" in said
    south = asked('facing = "S"\nlatitude = 40.0\ndate = "2026-06-21"', "--paint", "G1")
    assert south["advice"] == []


def test_what_the_room_does_not_say_is_said_to_be_assumed(asked: Asked) -> None:
    found = asked("")
    assert found["assumed"] == ["latitude", "facing", "date", "lamps_k"]
    assert found["facing"] is None
    assert found["colours"][0]["lamps"]
    said = asked("", text=True)
    for words in ("latitude is not known", "window looks is not known", "2026-03-20", "2700 K were assumed"):
        assert words in said


def test_the_day_asked_for_goes_before_the_rooms_own(asked: Asked) -> None:
    assert asked(NORTH, "--date", "2026-06-21")["date"] == "2026-06-21"


def test_a_grey_sky_lets_no_sun_in(asked: Asked) -> None:
    found = asked('facing = "S"\nlatitude = 40.0', "--overcast")
    assert found["sky"] == "overcast"
    assert not any(hour["sun"]["on_window"] for hour in found["hours"])


def test_polar_night_black_and_a_deck_of_one(asked: Asked, tmp_path: Path) -> None:
    (tmp_path / "one.csv").write_text("code,name,L,a,b\nK1,Soot,0,0,0\n", encoding="utf-8")
    polar = 'facing = "S"\nlatitude = 78.2\ndate = "2026-12-21"'
    found = asked(polar, "--deck", str(tmp_path / "one.csv"), "--paint", "K1")
    assert {hour["kind"] for hour in found["hours"]} == {"lamps"}
    black = found["colours"][-1]
    assert black["flips"] == []
    assert found["advice"] == []
    assert "The sun does not rise on this day" in asked(polar, text=True)


@pytest.mark.parametrize(
    ("about", "arguments", "words"),
    [
        ("latitude = 91.0", (), "91 is not between -90 and 90"),
        ('facing = "nowhere"', (), "is not one of N, NE"),
        ("lamps_k = 900", (), "900 is not between 1500 and 10000"),
        ("lamps_k = 40000", (), "40000 is not between 1500 and 10000"),
        ('date = "2026-02-30"', (), "no day"),
        ('date = "21 March"', (), "no day"),
        ("date = 2026-03-21", (), "Put it in quotes"),
        ("", ("--date", "2026-13-01"), "no day"),
        ("", ("--paint", "G9"), "no code 'G9'"),
    ],
)
def test_mistakes_are_one_message(asked: Asked, about: str, arguments: tuple[str, ...], words: str) -> None:
    with pytest.raises(GivensError) as caught:
        asked(about, *arguments)
    assert len(caught.value.problems) == 1
    assert words in str(caught.value.problems[0])
