"""SQLite's file while others open it too: accounts added, backups made, viewers looking, a second app, a kill.

sqlite.org, "How To Corrupt An SQLite Database File", section 2.2: closing any descriptor of the database's file drops
this process's locks on it, and the next program that closes the database removes the log under whoever goes on.
"""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import IO

import pytest
from sqlalchemy import text

from matcher.errors import RequestError
from matcher.service.access import local_user
from matcher.service.desk import Desk, list_rooms, new_room, open_desk
from matcher.settings import Settings

_SERVE = """
import sys
from pathlib import Path
from matcher.service.access import local_user
from matcher.service.desk import new_room, open_desk
from matcher.settings import Settings

first = open_desk(Settings(folder=Path(sys.argv[1])))
desk = open_desk(Settings(folder=Path(sys.argv[1])))
user = local_user(desk)
for line in sys.stdin:
    print(new_room(desk, user, line.strip()), flush=True)
"""
_GIVENS = "import sys; sys.argv[0] = 'givens'; from matcher.cli.app import main; main()"


@contextmanager
def app(folder: Path) -> Iterator[subprocess.Popen[str]]:
    """Run a process with two desks on one store, as an app may have, which makes a room for every line it is sent."""
    running = subprocess.Popen(
        [sys.executable, "-c", _SERVE, str(folder)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    )
    try:
        yield running
    finally:
        running.kill()
        running.wait()
        for end in (running.stdin, running.stdout):
            assert end
            end.close()


def make(running: subprocess.Popen[str], name: str) -> str:
    """Return the id of a room that was acknowledged."""
    into: IO[str] | None = running.stdin
    assert into
    assert running.stdout
    into.write(f"{name}\n")
    into.flush()
    return running.stdout.readline().strip()


def look(path: Path) -> None:
    """Open the database, read it and close it, as a viewer does; the last one out would empty and remove the log."""
    with closing(sqlite3.connect(path)) as viewer:
        viewer.execute("SELECT count(*) FROM rooms").fetchall()


def test_nothing_acknowledged_is_lost_whoever_opens_the_database_beside_the_app(tmp_path: Path) -> None:
    folder = tmp_path / "data"
    with app(folder) as running:
        kept = [make(running, f"first {n}") for n in range(3)]
        phrase = tmp_path / "phrase.txt"
        phrase.write_text("seven blue doors\n")
        added = subprocess.run(
            [sys.executable, "-c", _GIVENS, "user", "add", "Ada", "--passphrase-file", str(phrase)],
            env={**os.environ, "GIVENS_FOLDER": str(folder)},
            check=False,
        )
        assert added.returncode == 0
        kept += [make(running, f"second {n}") for n in range(3)]
        look(folder / "givens.db")
        with closing(sqlite3.connect(folder / "givens.db")) as source, closing(sqlite3.connect(tmp_path / "b")) as copy:
            source.backup(copy)
        kept += [make(running, f"third {n}") for n in range(3)]
        with app(folder) as second:
            kept.append(make(second, "fourth"))
        kept += [make(running, f"fifth {n}") for n in range(3)]
    # Both were killed.
    desk = open_desk(Settings(folder=folder))
    with desk.store.database.reading() as session:
        assert set(session.scalars(text("SELECT id FROM rooms"))) == set(kept)
    desk.store.close()


@pytest.fixture
def sqlite_desk(tmp_path: Path) -> Iterator[Desk]:
    desk = open_desk(Settings(folder=tmp_path / "data"))
    yield desk
    desk.store.close()


@pytest.mark.parametrize("what", ["the log", "the file", "both, put back from a copy"])
def test_a_file_replaced_under_the_app_is_noticed_and_nothing_more_is_taken(
    sqlite_desk: Desk, tmp_path: Path, what: str
) -> None:
    user = local_user(sqlite_desk)
    new_room(sqlite_desk, user, "Kept")
    path = tmp_path / "data" / "givens.db"
    if what == "the log":
        path.with_name("givens.db-wal").unlink()
    elif what == "the file":
        path.rename(tmp_path / "elsewhere.db")
    else:
        shutil.copy(path, tmp_path / "copy.db")
        os.replace(tmp_path / "copy.db", path)
    with pytest.raises(RequestError, match="moved, deleted or replaced while the app was running"):
        new_room(sqlite_desk, user, "Would be lost")
    # What is there can still be looked at.
    assert [room.name for room in list_rooms(sqlite_desk, user)] == ["Kept"]


def test_a_file_replaced_in_the_middle_of_a_change_is_not_called_kept(sqlite_desk: Desk, tmp_path: Path) -> None:
    path = tmp_path / "data" / "givens.db"
    with pytest.raises(RequestError, match="replaced while the app was running"), sqlite_desk.store.database.writing():
        path.rename(tmp_path / "elsewhere.db")


def test_a_database_that_is_there_is_never_opened_but_by_sqlite(
    sqlite_desk: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened: list[str] = []

    def open_and_tell(path: str, flags: int, mode: int = 0o777) -> int:
        handle = real(path, flags, mode)
        opened.append(str(path))
        return handle

    real = os.open
    monkeypatch.setattr(os, "open", open_and_tell)
    open_desk(Settings(folder=tmp_path / "data")).store.close()
    assert [path for path in opened if "givens.db" in path] == []
