"""``givens user add``: a consultant who can then sign in, the passphrase never shown."""

from __future__ import annotations

import contextlib
import json
import os
import select
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from matcher.cli.app import app
from matcher.errors import RequestError
from matcher.service.access import sign_in, user_of
from matcher.service.desk import Desk, open_desk
from matcher.settings import load_settings

ROOT = Path(__file__).parents[2]
PASSPHRASE = "birch lantern ferry"


@pytest.fixture(autouse=True)
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Work in a folder whose settings name another one for the store."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "givens.toml").write_text('folder = "shop"\n', encoding="utf-8")
    (tmp_path / "passphrase").write_text(PASSPHRASE + "\n", encoding="utf-8")


@pytest.fixture
def desk() -> Iterator[Desk]:
    """The store that the command wrote to."""
    opened = open_desk(load_settings())
    yield opened
    opened.store.database.close()


def run(*arguments: str, typed: str = "") -> Any:
    return CliRunner().invoke(app, ["user", "add", *arguments], input=typed)


def test_a_consultant_added_from_a_file_can_sign_in(desk: Desk) -> None:
    done = run("Ada Invented", "--passphrase-file", "passphrase", "--json")
    assert done.exit_code == 0, done.stderr
    added = json.loads(done.stdout)
    user = user_of(desk, sign_in(desk, "Ada Invented", PASSPHRASE, address="a"))
    assert user is not None
    assert added == {"id": user.id, "name": "Ada Invented"}


def test_the_passphrase_is_asked_for_twice_and_never_shown(desk: Desk) -> None:
    """On a terminal of its own: what the terminal shows is what the program wrote and whatever is echoed."""
    import pty

    keyboard, terminal = pty.openpty()
    code = f"import sys; sys.path.insert(0, {str(ROOT)!r}); from matcher.cli.app import main; main()"
    command = [sys.executable, "-c", code, "user", "add", "Ada"]
    with subprocess.Popen(
        command, stdin=terminal, stdout=subprocess.PIPE, stderr=terminal, start_new_session=True
    ) as child:
        os.close(terminal)
        shown = ""
        # The space comes last, once echoing is off; what is typed before that is thrown away.
        for asked in ("Passphrase: ", "Once more: "):
            while asked not in shown:
                assert select.select([keyboard], [], [], 60)[0], shown
                shown += os.read(keyboard, 1000).decode()
            os.write(keyboard, f"{PASSPHRASE}\n".encode())
        assert child.stdout is not None
        said = child.stdout.read().decode()
        assert child.wait(timeout=60) == 0, shown
    os.set_blocking(keyboard, False)
    with contextlib.suppress(OSError):  # EIO, once nobody holds the other end
        shown += os.read(keyboard, 1000).decode()
    os.close(keyboard)
    assert said == "Ada can sign in now\n"
    assert PASSPHRASE not in shown
    assert user_of(desk, sign_in(desk, "ada", PASSPHRASE, address="a"))


def test_two_that_differ_are_asked_for_again(desk: Desk) -> None:
    done = run("Ada", typed=f"{PASSPHRASE}\nanother passphrase\n{PASSPHRASE}\n{PASSPHRASE}\n")
    assert done.exit_code == 0
    assert user_of(desk, sign_in(desk, "ada", PASSPHRASE, address="a"))


def test_leaving_the_question_unanswered_adds_nobody(desk: Desk) -> None:
    assert run("Ada", typed="").exit_code == 1
    assert run("Ada", "--passphrase-file", "passphrase").exit_code == 0


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("Ada", "--passphrase-file", "none"), "no such file"),
        (("Ada", "--passphrase-file", "short"), "has 5 characters"),
        ((" ", "--passphrase-file", "passphrase"), "name: is empty"),
        (("bo", "--passphrase-file", "passphrase"), "is there already"),
        (("Ada", "--passphrase-file", "long"), "is 100 kB, more than the 64 kB that a file with a passphrase may have"),
    ],
)
def test_mistakes_are_said_in_words(tmp_path: Path, arguments: tuple[str, ...], words: str) -> None:
    (tmp_path / "short").write_text("short", encoding="utf-8")
    (tmp_path / "long").write_text("long words\n" * 9100, encoding="utf-8")
    run("Bo", "--passphrase-file", "passphrase")
    done = run(*arguments)
    assert isinstance(done.exception, RequestError)
    assert words in str(done.exception)
    assert done.stdout == ""


def test_settings_that_are_wrong_stop_the_command(tmp_path: Path) -> None:
    (tmp_path / "givens.toml").write_text("prot = 1\n", encoding="utf-8")
    done = run("Ada", "--passphrase-file", "passphrase")
    assert isinstance(done.exception, RequestError)
    assert "prot: is not a known key" in str(done.exception)
    assert not (tmp_path / "givens-data").exists()
