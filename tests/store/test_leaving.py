"""Photos that no room has any more: gone from the disk, also when the process dies between the two."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from sqlalchemy import select

from matcher.errors import Problem, StoreError
from matcher.service import client
from matcher.service.desk import (
    Desk,
    add_photo,
    delete_room,
    display_jpeg,
    list_rooms,
    load_room,
    new_room,
    open_desk,
    remove_photo,
)
from matcher.settings import Settings
from matcher.store.database import Database
from matcher.store.leaving import sweep
from matcher.store.stored import User
from matcher.store.tables import LeavingRow
from tests.service.pictures import picture


def lying(desk: Desk) -> list[Path]:
    """Return every file of a photo, arriving ones and pictures made from them too."""
    folder = desk.settings.folder
    return [path for part in ("photos", "incoming", "display") for path in (folder / part).rglob("*") if path.is_file()]


class Killed(BaseException):
    """Stands for the end of the process: no handler of errors sees it."""


def test_a_room_removed_by_a_process_that_dies_at_once_is_finished_at_the_next_start(
    desk: Desk, settings: Settings, user: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    room = new_room(desk, user, "Goes")
    add_photo(desk, room, picture(), "a.jpg", by="client")

    def die(*given: object) -> None:
        raise Killed

    with monkeypatch.context() as patch:
        patch.setattr("matcher.store.photo_folder.PhotoFolder.forget", die)
        with pytest.raises(Killed):
            delete_room(desk, user, room)
    assert len(lying(desk)) == 1
    again = open_desk(settings)
    assert lying(again) == []
    with again.store.database.reading() as session:
        assert session.scalars(select(LeavingRow.sha)).all() == []
    again.store.close()


def test_a_photo_whose_file_cannot_be_removed_now_goes_with_the_next(
    desk: Desk, user: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    rooms = [new_room(desk, user, f"room {n}") for n in range(2)]
    shas = [
        add_photo(desk, room, picture(seed), "a.jpg", by="client").sha for room, seed in zip(rooms, (1, 2), strict=True)
    ]

    def refuse(*given: object) -> None:
        raise PermissionError(13, "refused")

    with monkeypatch.context() as patch:
        patch.setattr("matcher.store.photo_folder.PhotoFolder.forget", refuse)
        remove_photo(desk, user, rooms[0], shas[0])
    assert len(lying(desk)) == 2
    remove_photo(desk, user, rooms[1], shas[1])
    assert lying(desk) == []


def test_a_photo_noted_as_leaving_stays_where_another_room_has_it(desk: Desk, user: User) -> None:
    rooms = [new_room(desk, user, f"room {n}") for n in range(2)]
    for room in rooms:
        add_photo(desk, room, picture(), "a.jpg", by="client")
    delete_room(desk, user, rooms[0])
    assert len(lying(desk)) == 1
    sweep(desk.store)
    assert len(lying(desk)) == 1


def test_files_that_belong_to_nobody_are_swept(desk: Desk, user: User) -> None:
    room = new_room(desk, user, "Stays")
    kept = add_photo(desk, room, picture(), "a.jpg", by="client")
    for name in (f"photos/ab/{'ab' * 32}.jpg", f"display/ab/{'ab' * 32}-1600.jpg", "display/ab/.0011.part"):
        path = desk.settings.folder / name
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(b"left by a kill")
    sweep(desk.store)
    assert [path.stem for path in lying(desk)] == [kept.sha]


_SEND = """
import os, signal, sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from matcher.service.desk import open_desk
from matcher.service.incoming import incoming
from matcher.settings import Settings

with incoming(open_desk(Settings(folder=Path(sys.argv[1]))), "a.jpg") as arriving:
    arriving.write(b"half a photo")
    print("half", flush=True)
    sys.stdin.read()
"""


@contextmanager
def sending(folder: Path) -> Iterator[subprocess.Popen[str]]:
    """Run a process that has half a photo, until its input ends."""
    command = [sys.executable, "-c", _SEND, str(folder)]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as sender:
        assert sender.stdout
        assert sender.stdout.readline() == "half\n"
        yield sender


def test_what_was_arriving_when_a_process_was_killed_is_cleared_and_what_still_arrives_is_not(tmp_path: Path) -> None:
    folder = tmp_path / "data"
    with sending(folder) as killed, sending(folder) as living:
        killed.send_signal(signal.SIGKILL)
        killed.wait()
        desk = open_desk(Settings(folder=folder))
        assert len(lying(desk)) == 1
        living.communicate("")
        assert lying(desk) == []
        desk.store.close()
    open_desk(Settings(folder=folder)).store.close()
    assert os.listdir(folder / "incoming") == []


def test_reading_needs_no_writing(desk: Desk, user: User, monkeypatch: pytest.MonkeyPatch) -> None:
    """A full disk: what is seen, when a link was used and pictures for showing are noted where that can be written."""
    room = new_room(desk, user, "Full")
    token = client.make_link(desk, user, room)
    photo = client.add_client_photo(desk, token, picture(), "a.jpg")

    @contextmanager
    def full(self: Database) -> Iterator[None]:
        raise StoreError(Problem("database", "database or disk is full"))
        yield

    monkeypatch.setattr(Database, "writing", full)
    assert [one.name for one in list_rooms(desk, user)] == ["Full"]
    assert load_room(desk, user, room).photos == (photo,)
    assert client.client_room(desk, token).name == "Full"
    assert display_jpeg(desk, room, photo.sha).startswith(b"\xff\xd8")
