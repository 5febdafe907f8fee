"""A backup taken while the app runs, restored and compared row by row and byte by byte."""

from __future__ import annotations

import json
import shutil
import sqlite3
import threading
import zipfile
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from typer.testing import CliRunner

from matcher.cli.app import app
from matcher.errors import RequestError
from matcher.service import access, client
from matcher.service.desk import Desk, add_photo, list_rooms, new_room, open_desk, remove_photo
from matcher.settings import Settings
from matcher.store.backup import restore_backup, write_backup
from tests.service.pictures import picture


@pytest.fixture(scope="module")
def closed_shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two consultants, a room with photos each, one of them shared, a link and an answer; made once."""
    folder = tmp_path_factory.mktemp("shop") / "data"
    desk = open_desk(Settings(folder=folder))
    for name, seeds in (("Ada", (1, 2)), ("Ben", (2, 3))):
        user = access.add_user(desk, name, "seven blue doors")
        room = new_room(desk, user, f"{name}'s room")
        for seed in seeds:
            add_photo(desk, room, picture(seed), "a.jpg", by="consultant")
        token = client.make_link(desk, user, room)
        client.answer(desk, token, "like", "Yes")
    desk.store.close()
    return folder


@pytest.fixture
def shop(closed_shop: Path, tmp_path: Path) -> Iterator[Desk]:
    """The same shop, open, in the test's own folder."""
    shutil.copytree(closed_shop, tmp_path / "data")
    desk = open_desk(Settings(folder=tmp_path / "data"))
    yield desk
    desk.store.close()


def rows(path: Path) -> dict[str, list[object]]:
    with closing(sqlite3.connect(path)) as database:
        tables = [name for (name,) in database.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        return {name: database.execute(f"SELECT * FROM {name} ORDER BY 1").fetchall() for name in tables}


def photos(folder: Path) -> dict[str, bytes]:
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.glob("photos/*/*")}


def test_what_is_restored_is_what_was_there(shop: Desk, tmp_path: Path) -> None:
    held = write_backup(shop.store, tmp_path / "shop.zip")
    assert (held.rooms, held.photos) == (2, 3)
    back = restore_backup(tmp_path / "shop.zip", tmp_path / "back")
    assert (back.rooms, back.photos) == (2, 3)
    assert rows(tmp_path / "back" / "givens.db") == rows(tmp_path / "data" / "givens.db")
    assert photos(tmp_path / "back") == photos(tmp_path / "data")
    desk = open_desk(Settings(folder=tmp_path / "back"))
    user = access.user_of(desk, access.sign_in(desk, "Ada", "seven blue doors", address="a"))
    assert user
    assert [room.name for room in list_rooms(desk, user)] == ["Ada's room"]
    desk.store.close()


def test_others_cannot_read_it(shop: Desk, tmp_path: Path) -> None:
    write_backup(shop.store, tmp_path / "shop.zip")
    assert (tmp_path / "shop.zip").stat().st_mode & 0o077 == 0
    restore_backup(tmp_path / "shop.zip", tmp_path / "back")
    assert all(path.stat().st_mode & 0o077 == 0 for path in (tmp_path / "back").rglob("*"))


def test_a_backup_holds_every_photo_it_speaks_of_while_photos_come_and_go(shop: Desk, tmp_path: Path) -> None:
    done = threading.Event()

    def come_and_go() -> None:
        user = access.add_user(shop, "Cid", "seven blue doors")
        room = new_room(shop, user, "Busy")
        for seed in range(10, 10_000):
            sha = add_photo(shop, room, picture(seed), "b.jpg", by="consultant").sha
            remove_photo(shop, user, room, sha)
            if done.is_set():
                return

    busy = threading.Thread(target=come_and_go)
    busy.start()
    try:
        for turn in range(6):
            write_backup(shop.store, tmp_path / f"{turn}.zip")
            # Refuses a backup that lacks a photo.
            restore_backup(tmp_path / f"{turn}.zip", tmp_path / f"back {turn}")
    finally:
        done.set()
        busy.join()
    shop.store.photos.workspace.clear_abandoned()
    assert [path for path in (tmp_path / "data" / "incoming").rglob("*") if path.is_file()] == []


def test_nothing_is_overwritten(shop: Desk, tmp_path: Path) -> None:
    target = tmp_path / "shop.zip"
    target.write_bytes(b"last week's")
    with pytest.raises(RequestError, match="is there already"):
        write_backup(shop.store, target)
    assert target.read_bytes() == b"last week's"
    target.unlink()
    write_backup(shop.store, target)
    before = rows(tmp_path / "data" / "givens.db")
    with pytest.raises(RequestError, match="is not empty"):
        restore_backup(target, tmp_path / "data")
    assert rows(tmp_path / "data" / "givens.db") == before


def test_what_a_killed_restore_left_goes_with_the_next_and_nothing_of_others_does(shop: Desk, tmp_path: Path) -> None:
    write_backup(shop.store, tmp_path / "shop.zip")
    for name in (f".back-{'0' * 16}", ".back-of-somebody", f".back2-{'0' * 16}"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "photo.jpg").write_bytes(b"x")
    restore_backup(tmp_path / "shop.zip", tmp_path / "back")
    assert {path.name for path in tmp_path.glob(".*")} == {".back-of-somebody", f".back2-{'0' * 16}"}


def _without_a_photo(members: dict[str, bytes]) -> None:
    del members[next(name for name in members if name.startswith("photos/"))]


def _with_another_photo(members: dict[str, bytes]) -> None:
    members[next(name for name in members if name.startswith("photos/"))] = b"something else"


def _with_a_way_out(members: dict[str, bytes]) -> None:
    members["../outside.jpg"] = b"x"


def _with_half_a_database(members: dict[str, bytes]) -> None:
    members["givens.db"] = members["givens.db"][: len(members["givens.db"]) // 2]


def _without_a_database(members: dict[str, bytes]) -> None:
    del members["givens.db"]


def _of_another_format(members: dict[str, bytes]) -> None:
    members["backup.json"] = json.dumps({"format": "givens-backup/9"}).encode()


SPOILT = {
    "lacks 1 of the photos": _without_a_photo,
    "is not what it was": _with_another_photo,
    "holds what no backup holds": _with_a_way_out,
    "is no whole backup|does not hold together": _with_half_a_database,
    "or no database": _without_a_database,
    "no backup that this version knows": _of_another_format,
}


@pytest.mark.parametrize("words", SPOILT)
def test_a_spoilt_backup_is_refused_and_leaves_nothing(shop: Desk, tmp_path: Path, words: str) -> None:
    write_backup(shop.store, tmp_path / "shop.zip")
    with zipfile.ZipFile(tmp_path / "shop.zip") as zipped:
        members = {name: zipped.read(name) for name in zipped.namelist()}
    SPOILT[words](members)
    with zipfile.ZipFile(tmp_path / "spoilt.zip", "w") as zipped:
        for name, data in members.items():
            zipped.writestr(name, data)
    before = set(tmp_path.iterdir())
    with pytest.raises(RequestError, match=words):
        restore_backup(tmp_path / "spoilt.zip", tmp_path / "back")
    assert set(tmp_path.iterdir()) == before


def test_a_server_has_its_own_way(desk: Desk, tmp_path: Path) -> None:
    if desk.store.database.is_sqlite:
        write_backup(desk.store, tmp_path / "shop.zip")
    else:
        with pytest.raises(RequestError, match="pg_dump"):
            write_backup(desk.store, tmp_path / "shop.zip")


def test_the_commands_say_what_they_did(shop: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("GIVENS_FOLDER", "data")
    done = CliRunner().invoke(app, ["backup", "shop.zip"])
    assert done.exit_code == 0, done.stderr
    assert done.stdout.startswith(f"2 rooms and 3 photos of {tmp_path / 'data'}, ")
    monkeypatch.setenv("GIVENS_FOLDER", "back")
    done = CliRunner().invoke(app, ["restore", "shop.zip", "--json"])
    assert done.exit_code == 0, done.stderr
    assert json.loads(done.stdout) == {
        "file": "shop.zip",
        "folder": str(tmp_path / "back"),
        "rooms": 2,
        "photos": 3,
        "size": (tmp_path / "shop.zip").stat().st_size,
    }


def test_a_backup_of_no_store_makes_none(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    done = CliRunner().invoke(app, ["backup", "shop.zip"])
    assert isinstance(done.exception, RequestError)
    assert "there is no store here" in str(done.exception)
    assert list(tmp_path.iterdir()) == []
