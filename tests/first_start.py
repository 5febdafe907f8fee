"""A folder as it is after the app's first start, with the sample kitchen on the desk: made once, copied for tests."""

from __future__ import annotations

import shutil
import sqlite3
import uuid
from contextlib import closing
from pathlib import Path

from matcher.demo.location import demo_room
from matcher.service import live
from matcher.service.access import local_user
from matcher.service.desk import list_rooms, load_room, open_desk
from matcher.service.first_run import furnish
from matcher.settings import Settings


def furnish_once(folder: Path) -> None:
    """Make the folder: the sample kitchen is in it, its photos not measured yet."""
    desk = open_desk(Settings(folder=folder))
    with demo_room() as sample:
        furnish(desk, sample)
    desk.store.close()


def look_once(folder: Path) -> None:
    """Look at the sample kitchen in the folder: from then on it is measured."""
    desk = open_desk(Settings(folder=folder))
    user = local_user(desk)
    (room,) = list_rooms(desk, user)
    live.ranked(desk, load_room(desk, user, room.id))
    desk.store.close()


def copy_of(folder: Path, to: Path) -> Path:
    """Copy the folder and return where to; its room gets an id of its own, since what a process remembers of a room
    goes by that.
    """
    shutil.copytree(folder, to)
    with closing(sqlite3.connect(to / "givens.db")) as database, database:
        tables = [name for (name,) in database.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        held = {table: {row[1] for row in database.execute(f"PRAGMA table_info({table})")} for table in tables}
        new = uuid.uuid4().hex
        database.execute("UPDATE rooms SET id = ?", (new,))
        for table in (name for name, columns in held.items() if "room_id" in columns):
            database.execute(f"UPDATE {table} SET room_id = ?", (new,))
    return to
