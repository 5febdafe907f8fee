"""README and DEVELOPERS against the program: commands exist with their options and run, the room file is valid."""

from __future__ import annotations

import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
ROWS = re.findall(r"^\| `(givens [^`]+)` \|", README, flags=re.MULTILINE)


def words_of(row: str) -> list[str]:
    """Return the leading command words of a table row: ``givens paint describe`` -> [paint, describe]."""
    words = []
    for word in row.split()[1:]:
        if not re.fullmatch(r"[a-z]+", word):
            break
        words.append(word)
    return words


def givens(*arguments: str) -> subprocess.CompletedProcess[str]:
    code = "import sys; from matcher.cli.app import main; sys.argv[0] = 'givens'; main()"
    return subprocess.run(
        [sys.executable, "-c", code, *arguments], cwd=ROOT, capture_output=True, text=True, check=False
    )


def test_the_table_lists_every_command_and_no_other() -> None:
    from matcher.cli import deck, paint, photo, user
    from matcher.cli.app import app

    groups = {"photo": photo.app, "paint": paint.app, "deck": deck.app, "user": user.app}
    commands = {command.callback.__name__ for command in app.registered_commands if command.callback}
    for name, group in groups.items():
        commands |= {f"{name} {command.callback.__name__}" for command in group.registered_commands if command.callback}
    assert {" ".join(words_of(row)) for row in ROWS} == commands


@pytest.mark.parametrize("row", ROWS)
def test_every_option_of_the_table_is_in_the_help(row: str) -> None:
    done = givens(*words_of(row), "--help")
    assert done.returncode == 0
    for option in re.findall(r"--[a-z-]+", row):
        assert option in done.stdout, f"{option} is in the README but not in the command"


@pytest.mark.parametrize("row", ROWS)
def test_every_command_takes_json_and_q(row: str) -> None:
    helped = givens(*words_of(row), "--help").stdout
    assert "--json" in helped
    assert "-q" in helped


@pytest.mark.parametrize("row", ROWS)
def test_every_option_of_the_help_is_in_the_readme(row: str) -> None:
    offered = set(re.findall(r"(?<![\w-])--[a-z-]+", givens(*words_of(row), "--help").stdout)) - {"--help", "--quiet"}
    assert offered <= set(re.findall(r"--[a-z-]+", row)) | {"--json"}


def test_the_room_file_of_the_reference_is_whole() -> None:
    """It parses as TOML, and the room-file model accepts every key and value; the photo itself is not there."""
    from matcher.room.contents import RoomFile

    text = next(block for block in re.findall(r"```toml\n(.*?)```", DEVELOPERS, flags=re.DOTALL))
    # The ellipsis stands for further entries.
    content = tomllib.loads(text.replace("; or colours = [{share = 0.7, lab = [55, 16, 30]}, …]", ""))
    room = RoomFile.model_validate(content)
    assert room.photos[0].references[0].on == room.photos[0].surfaces[0].name


def test_ci_and_developers_run_the_readme_test_command() -> None:
    commands = re.findall(r"^python3 .*$", README, flags=re.MULTILINE)
    assert len(commands) == 2
    demo, tests = commands
    assert demo.endswith("givens demo")
    assert tests in (ROOT / ".ci" / "run").read_text(encoding="utf-8").splitlines()
    assert tests in DEVELOPERS.splitlines()


def test_linked_files_exist() -> None:
    for link in re.findall(r"\]\(([^)#:]+)(?:#[^)]*)?\)", README):
        assert (ROOT / link).exists(), link


def test_linked_headings_exist() -> None:
    """By the anchors that GitHub makes of headings: lower case, spaces to hyphens."""
    headings = {heading.lower().replace(" ", "-") for heading in re.findall(r"^#+ (.+)$", DEVELOPERS, re.MULTILINE)}
    for anchor in re.findall(r"\]\(DEVELOPERS\.md#([^)]+)\)", README):
        assert anchor in headings
