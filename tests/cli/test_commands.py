"""The commands as a user runs them: what they print, where, and the JSON of the contract."""

from __future__ import annotations

import json
import os
import pty
import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from matcher.cli.app import app
from matcher.errors import PhotoError, RequestError
from tests.service.pictures import picture

Run = Callable[..., Any]
ROOT = Path(__file__).parents[2]
KITCHEN = ROOT / "sample_photos" / "kitchen"
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


def test_paint_describe_draws_what_it_says(tmp_path: Path) -> None:
    """A deck of one paint is enough; the picture goes by its suffix, and the JSON has the numbers behind it."""
    alone = tmp_path / "alone.csv"
    alone.write_text("code,name,L,a,b\nV1,Vessin & Co,76,1.5,-3\n", encoding="utf-8")
    entry = run_json("paint", "describe", "V1", "--deck", str(alone), "--beside", "55 14 28", "--out",
                     str(tmp_path / "v.svg"))  # fmt: skip
    examined = entry["examined"]
    assert examined["headline"] == "A mid grey that turns violet."
    assert examined["lean"]["words"] == ["violet"]
    assert examined["true_grey"]["lab"] == [76.0, 0.0, 0.0]
    assert examined["beside"][0]["kind"] == "push apart"
    svg = Path(entry["file"]).read_text(encoding="utf-8")
    assert svg.startswith("<svg")
    assert "Vessin &amp; Co" in svg
    assert all(f'fill="{step["hex"]}"' in svg for step in examined["strip"]["steps"])
    said = run_text(
        "paint", "describe", "--lab", "0", "0", "0", "--beside", "#a07c55", "--out", str(tmp_path / "b.PNG")
    )
    assert "A near-black that stays black." in said
    assert (tmp_path / "b.PNG").read_bytes().startswith(b"\x89PNG")


@pytest.mark.parametrize(
    ("options", "message"),
    [
        (("--out", "paint.pdf"), r"drawn as PNG or SVG\. End its name in \.png or \.svg"),
        (("--beside", "50 2 300"), "--beside: 50 2 300 is no surface colour"),
        (("--beside", "#12"), "--beside: '#12' is no sRGB colour"),
        (("--beside", "demo-0"), "paint: the deck 'demo_deck' has no code 'demo-0'"),
    ],
)
def test_paint_describe_refuses_in_one_message(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, options: tuple[str, ...], message: str
) -> None:
    monkeypatch.chdir(tmp_path)
    with pytest.raises(RequestError, match=message) as caught:
        run_text("paint", "describe", "demo-1", *options)
    assert len(caught.value.problems) == 1
    assert list(tmp_path.iterdir()) == []


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
    # What is beyond the contract comes after it.
    assert list(result) == [*kinds, "same_name", "steps", "map", "partners", "no_partner"]
    assert result["same_lrv_cooler"] == ["V1"]
    assert result["lighter"] == ["G3"]
    assert result["greener_darker"] == ["G2"]


@pytest.mark.parametrize("named", [("--lab", "76", "1", "6"), ("One",), ("  oNE ",)])
def test_paint_near_takes_what_describe_takes(deck: str, named: tuple[str, ...]) -> None:
    described = run_json("paint", "describe", *named, "--deck", deck)
    near = run_json("paint", "near", *named, "--deck", deck)
    assert described["lab"] == [76.0, 1.0, 6.0]
    # A colour that is no paint of the deck has the paint of the same colour nearest; a paint is not its own neighbour.
    assert ("G1" in near["nearest"]) == (named[0] == "--lab")
    assert near["lighter"] == ["G3"]
    assert near["greener_darker"] == ["G2"]


def test_paint_near_takes_hex(deck: str) -> None:
    near = run_json(
        "paint", "near", "--hex", run_json("paint", "describe", "V1", "--deck", deck)["hex"], "--deck", deck
    )
    assert near["nearest"][0] == "V1"


def test_a_code_goes_before_a_name_and_a_name_of_several_is_asked_about(tmp_path: Path) -> None:
    path = tmp_path / "deck.csv"
    path.write_text("code,name,L,a,b\nB1,A1,70,0,0\nA1,Twin,80,0,0\nC1,Twin,60,0,0\n", encoding="utf-8")
    assert run_json("paint", "describe", "A1", "--deck", str(path))["lab"] == [80.0, 0.0, 0.0]
    with pytest.raises(RequestError, match=r"2 paints are called 'twin'.*A1, C1"):
        run_text("paint", "near", "twin", "--deck", str(path))
    with pytest.raises(RequestError, match=r"no code 'Twim'\. Did you mean Twin \(A1\)"):
        run_text("paint", "near", "Twim", "--deck", str(path))


@pytest.mark.parametrize("named", [(), ("G1", "--hex", "#808080"), ("--hex", "#808080", "--lab", "76", "1", "6")])
def test_one_colour_is_asked_about_at_a_time(deck: str, named: tuple[str, ...]) -> None:
    for command in ("describe", "near"):
        done = CliRunner().invoke(app, ["paint", command, *named, "--deck", deck])
        assert done.exit_code == 2
        assert "give one of CODE" in done.stderr


def test_paint_near_names_its_paints_with_their_lrv(deck: str) -> None:
    """LRV is CIE Y: of L* 76 it is 49.9, of 84 64.0 (CIE 015:2018)."""
    lines = run_text("paint", "near", "G2", "--deck", deck).splitlines()
    assert lines[0] == "Nearest"
    for start in ("  G1  One   LRV  50  clearly lighter, ", "  G3  Four  LRV  64  far lighter, "):
        assert any(line.startswith(start) and "you would see it" in line for line in lines)
    assert "\x1b" not in "".join(lines)


def test_paint_near_looks_in_other_decks_too(deck: str, tmp_path: Path) -> None:
    other = tmp_path / "other.csv"
    other.write_text("code,name,L,a,b\nG1,ONE,70,1,8\nZ9,Else,76,1,6.1\n", encoding="utf-8")
    both = ("paint", "near", "G1", "--deck", deck, "--deck", str(other))
    alone = run_json("paint", "near", "G1", "--deck", deck)
    found = run_json(*both)
    assert {**found, "other_decks": None} == {**alone, "other_decks": None}
    assert found["other_decks"]["other"]["nearest"] == ["Z9", "G1"]
    assert found["other_decks"]["other"]["same_name"] == ["G1"]
    lines = run_text(*both).splitlines()
    place = lines.index("The same name, in other")
    assert lines[place + 1].split()[:6] == ["G1", "ONE", "LRV", "41", "clearly", "darker,"]
    compared = run_json("paint", "compare", "G1", "other:G1", "--deck", deck, "--deck", str(other))
    assert [colour["code"] for colour in compared["colours"]] == ["G1", "other:G1"]
    assert run_json("paint", "describe", "Z9", "--deck", deck, "--deck", str(other))["code"] == "other:Z9"


def test_paint_near_beside_a_room(deck: str, room_path: Path) -> None:
    """The oak of the room file beside a violet-grey (common practice, no published source: it turns lilac)."""
    near = ("paint", "near", "V1", "--deck", deck, "--room", str(room_path))
    pushes = {push["surface"]: push for push in run_json(*near)["pushes"]}
    assert pushes["floor"]["claim"] == "will"
    assert pushes["worktop"]["claim"] is None
    said = run_text(*near)
    assert "Beside what stays" in said
    assert pushes["floor"]["says"] in said
    assert "worktop" not in said


def test_paint_near_draws_the_map(deck: str, tmp_path: Path) -> None:
    for name, start in (("map.svg", b"<svg "), ("map.PNG", b"\x89PNG")):
        out = tmp_path / name
        assert run_text("paint", "near", "G1", "--deck", deck, "--out", str(out)).endswith(f"Written: {out}\n")
        assert out.read_bytes().startswith(start)


def in_terminal(*arguments: str, **environment: str) -> str:
    """Run the command with a terminal for stdout and stderr, as somebody at one sees it."""
    ours, theirs = pty.openpty()
    code = "import sys; sys.argv[0] = 'givens'; from matcher.cli.app import main; main()"
    surroundings = {**os.environ, "TERM": "xterm-256color", "PYTHONPATH": str(ROOT), **environment}
    surroundings.pop("COLORTERM", None)
    if "NO_COLOR" not in environment:
        surroundings.pop("NO_COLOR", None)
    child = subprocess.Popen([sys.executable, "-c", code, *arguments], stdout=theirs, stderr=theirs, env=surroundings)
    os.close(theirs)
    shown = b""
    while True:
        try:
            piece = os.read(ours, 4096)
        except OSError:  # EIO, once nobody holds the other end
            break
        if not piece:
            break
        shown += piece
    os.close(ours)
    assert child.wait(timeout=60) == 0, shown
    return shown.decode()


def test_a_terminal_with_colours_shows_a_swatch_and_any_other_none(deck: str) -> None:
    """ECMA-48, 8.3.117 (SGR): 48 sets the background. no-color.org: NO_COLOR, not empty, asks for none."""
    near = ("paint", "near", "G2", "--deck", deck)
    assert "\x1b[48;" in in_terminal(*near)
    assert "\x1b" not in in_terminal(*near, NO_COLOR="1")


def test_progress_is_a_bar_where_stderr_is_a_terminal(tmp_path: Path) -> None:
    files = [tmp_path / f"{number}.jpg" for number in (1, 2)]
    for number, file in enumerate(files):
        file.write_bytes(picture(number))
    shown = in_terminal("photo", "check", *map(str, files))
    assert "━" in shown
    assert "Checking 2.jpg" in shown
    assert "Checking 2.jpg …" not in shown


def test_several_photos_are_checked_and_one_that_is_none_keeps_nobody_from_seeing_the_others(tmp_path: Path) -> None:
    first, second = str(KITCHEN / "tile_day.jpg"), str(KITCHEN / "floor_day.jpg")
    both = run_json("photo", "check", first, second, "-q")
    assert both == [run_json("photo", "check", first), run_json("photo", "check", second)]
    none = tmp_path / "none.jpg"
    none.write_text("a list of paints", encoding="utf-8")
    done = CliRunner().invoke(app, ["photo", "check", first, str(none), second, "-q"])
    assert isinstance(done.exception, PhotoError)
    assert [problem.where for problem in done.exception.problems] == [str(none)]
    assert "tile_day.jpg: 1200 x 900 pixels" in done.stdout
    assert "floor_day.jpg: 900 x 1200 pixels" in done.stdout
    alone = CliRunner().invoke(app, ["photo", "check", str(none), "--json"])
    assert (alone.stdout, type(alone.exception)) == ("", PhotoError)


GROUPS = ((), ("photo",), ("paint",), ("deck",), ("user",))


@pytest.mark.parametrize("group", GROUPS, ids=" ".join)
def test_the_help_says_every_command_in_one_full_line(group: tuple[str, ...], monkeypatch: pytest.MonkeyPatch) -> None:
    """At 80 columns, what a terminal has at least (common practice)."""
    monkeypatch.setenv("COLUMNS", "80")
    shown = run_text(*group, "--help")
    lines = shown[shown.index("Commands:") :].splitlines()[1:]
    assert lines
    for line in lines:
        assert re.fullmatch(r"  [a-z]+ +\S.*[a-z]\.", line), line
        assert len(line) <= 80
    # The usage line has three dots of its own.
    assert "..." not in "".join(lines)
    assert "…" not in "".join(lines)


def test_a_narrow_terminal_cuts_no_line_of_the_help(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "40")
    said = " ".join(run_text("--help").split())
    assert "Measure a room and rank the deck: result.json and the report." in said


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


def test_the_clients_page_has_no_appendix_and_carries_the_letterhead(
    room_path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "givens.toml").write_text('letterhead_name = "Lane & Field"\n', encoding="utf-8")
    result = run_json("shortlist", str(room_path), "--out", "out", "--client-page", "-q")
    page = (tmp_path / "out" / "report.html").read_text(encoding="utf-8")
    assert "Lane &amp; Field" in page
    assert result["scheme"]["roles"]["walls"]["code"] in page
    assert "CIELAB" not in page
    assert 'id="appendix"' not in page


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
