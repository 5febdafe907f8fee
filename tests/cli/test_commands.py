"""The commands as a user runs them: what they print, where, and the JSON of the contract."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from matcher.cli.app import app

Run = Callable[..., Any]
DESCRIPTION_KEYS = ["code", "name", "lab", "lrv", "hex", "designation", "undertone", "warmth"]


def run_json(*arguments: str) -> Any:
    """Run a command with --json: stdout has to be one JSON document and nothing else."""
    done = CliRunner().invoke(app, [*arguments, "--json"], catch_exceptions=False)
    assert done.exit_code == 0
    return json.loads(done.stdout)


def run_text(*arguments: str) -> str:
    done = CliRunner().invoke(app, list(arguments), catch_exceptions=False)
    assert done.exit_code == 0
    return done.stdout


@pytest.fixture
def deck(tmp_path: Path) -> str:
    path = tmp_path / "deck.csv"
    path.write_text(
        "code,name,L,a,b\nG1,One,76,1,6\nV1,Two,76,1.5,-3\nG2,Three,66,-4,4\nG3,Four,84,0,6\n",
        encoding="utf-8",
    )
    return str(path)


def test_deck_describe_gives_the_keys_of_the_contract_in_file_order(deck: str) -> None:
    entries = run_json("deck", "describe", deck)
    assert [entry["code"] for entry in entries] == ["G1", "V1", "G2", "G3"]
    assert all(list(entry) == DESCRIPTION_KEYS for entry in entries)
    # ISCC-NBS names of the check colours (Kelly & Judd 1976).
    assert [entry["designation"] for entry in entries[:2]] == ["yellowish gray", "light purplish gray"]


def test_deck_describe_under_lights(deck: str) -> None:
    entries = run_json("deck", "describe", deck, "--lights", "A,LED-B1,FL11")
    assert all(list(entry["lights"]) == ["A", "LED-B1", "FL11"] for entry in entries)
    assert set(entries[0]["lights"]["A"]) == {"lab", "undertone"}


def test_paint_describe_says_the_same_however_the_colour_is_named(deck: str) -> None:
    by_code = run_json("paint", "describe", "G1", "--deck", deck)
    by_lab = run_json("paint", "describe", "--lab", "76", "1", "6")
    assert {**by_code, "code": "", "name": ""} == by_lab
    # Munsell renotation by colour-science: 0.2Y 7.53/0.89; a tenth of a hue step is within its interpolation.
    assert re.fullmatch(r"0\.[123]Y 7\.5/0\.9", by_lab["munsell"])


def test_negative_lab_values_are_numbers_not_options() -> None:
    assert run_json("paint", "describe", "--lab", "76", "-1", "-4")["lab"] == [76.0, -1.0, -4.0]


def test_paint_compare_gives_the_pairs_of_the_contract(deck: str) -> None:
    result = run_json("paint", "compare", "G1", "V1", "G2", "--deck", deck)
    assert [colour["code"] for colour in result["colours"]] == ["G1", "V1", "G2"]
    assert [(pair["a"], pair["b"]) for pair in result["pairs"]] == [("G1", "V1"), ("G1", "G2"), ("V1", "G2")]
    first, second, _ = result["pairs"]
    assert list(first) == ["a", "b", "de00", "lrv_difference", "lighter", "warmer", "greener", "visible"]
    assert (first["lighter"], first["warmer"], first["visible"]) == (None, "G1", True)
    assert (second["lighter"], second["greener"]) == ("G1", "G2")
    assert second["lrv_difference"] < 0


def test_paint_near_gives_the_kinds_of_the_contract(deck: str) -> None:
    result = run_json("paint", "near", "G1", "--deck", deck)
    kinds = ["nearest", "same_lrv_warmer", "same_lrv_cooler", "lighter", "darker", "greener_darker"]
    assert list(result) == kinds
    assert result["same_lrv_cooler"] == ["V1"]
    assert result["lighter"] == ["G3"]
    assert result["greener_darker"] == ["G2"]


def test_deck_check_says_how_large_a_sound_deck_is(deck: str) -> None:
    assert run_json("deck", "check", deck)["size"] == 4
    assert "4 paints" in run_text("deck", "check", deck)


@pytest.mark.parametrize(
    "command", [("paint", "describe", "G1"), ("paint", "compare", "G1", "V1"), ("paint", "near", "G1")]
)
def test_text_names_the_paints(deck: str, command: tuple[str, ...]) -> None:
    assert "G1" in run_text(*command, "--deck", deck) or "V1" in run_text(*command, "--deck", deck)


def test_shortlist_writes_both_files_and_prints_the_same_json(room_path: Path, tmp_path: Path) -> None:
    done = CliRunner().invoke(app, ["shortlist", str(room_path), "--out", str(tmp_path / "out"), "--json"])
    assert done.exit_code == 0
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == ["report.html", "result.json"]
    assert done.stdout == (tmp_path / "out" / "result.json").read_text(encoding="utf-8")


def test_progress_goes_to_stderr_and_q_silences_it(room_path: Path, tmp_path: Path) -> None:
    loud = CliRunner().invoke(app, ["shortlist", str(room_path), "--out", str(tmp_path / "a")])
    quiet = CliRunner().invoke(app, ["shortlist", str(room_path), "--out", str(tmp_path / "b"), "-q"])
    assert "Ranking" in loud.stderr
    assert "Ranking" not in loud.stdout
    assert quiet.stderr == ""
    assert loud.stdout.replace(str(tmp_path / "a"), "") == quiet.stdout.replace(str(tmp_path / "b"), "")


def test_surface_gives_the_surfaces_and_no_paints(room_path: Path) -> None:
    result = run_json("surface", str(room_path))
    assert list(result) == ["format", "room", "photos", "surfaces", "warnings"]
    assert [surface["name"] for surface in result["surfaces"]] == ["worktop", "floor"]


def test_pins_are_kept_in_the_scheme(room_text: str, tmp_path: Path) -> None:
    room = tmp_path / "room.toml"
    room.write_text(room_text.replace("[[surfaces]]", '[pins]\ntrim = "demo-2"\n\n[[surfaces]]', 1), encoding="utf-8")
    result = run_json("shortlist", str(room), "--out", str(tmp_path / "out"), "-q")
    assert result["scheme"]["roles"]["trim"]["code"] == "demo-2"
