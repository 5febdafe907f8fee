"""README against the program: its table has every command with its options, its links lead somewhere.

That all of it runs is tested in tests/documents.
"""

from __future__ import annotations

import re
from functools import cache
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


@cache
def help_of(row: str) -> str:
    """What the command of a row says with ``--help``."""
    from typer.testing import CliRunner

    from matcher.cli.app import app

    done = CliRunner().invoke(app, [*words_of(row), "--help"], prog_name="givens", catch_exceptions=False)
    assert done.exit_code == 0
    return done.stdout


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
    for option in re.findall(r"--[a-z-]+", row):
        assert option in help_of(row), f"{option} is in the README but not in the command"


@pytest.mark.parametrize("row", ROWS)
def test_every_command_takes_json_and_q(row: str) -> None:
    assert "--json" in help_of(row)
    assert "-q" in help_of(row)


@pytest.mark.parametrize("row", ROWS)
def test_every_option_of_the_help_is_in_the_readme(row: str) -> None:
    offered = set(re.findall(r"(?<![\w-])--[a-z-]+", help_of(row))) - {"--help", "--quiet"}
    assert offered <= set(re.findall(r"--[a-z-]+", row)) | {"--json"}


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
