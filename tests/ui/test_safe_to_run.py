"""The app as it runs: nothing lost whoever opens its store beside it, and let go what was held for those who left."""

from __future__ import annotations

import json
import os
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

from matcher.service import access, client
from matcher.service.access import local_user
from matcher.service.desk import list_rooms, new_room, open_desk
from matcher.settings import Settings
from matcher.store.backup import restore_backup
from tests.soak.kills import soak
from tests.soak.visitor import Visitor
from tests.ui.givens_server import beside, serve_givens

SAMPLES = Path(__file__).parents[2] / "sample_photos" / "kitchen"
PHRASE = "seven blue doors"
_GIVENS = "import sys; sys.argv[0] = 'givens'; from matcher.cli.app import main; main()"


def givens(folder: Path, *arguments: str) -> None:
    """Run a command beside the app, on its store."""
    environment = {**os.environ, "GIVENS_FOLDER": str(folder)}
    subprocess.run([sys.executable, "-c", _GIVENS, *arguments], env=environment, check=True, capture_output=True)


def test_no_photo_is_lost_while_others_open_the_store_and_the_app_is_killed(tmp_path: Path) -> None:
    """An account added, a viewer, a backup, a second server, a kill: every photo that was told to be kept is there."""
    folder, phrase = tmp_path / "data", tmp_path / "phrase.txt"
    phrase.write_text(PHRASE)
    data, kept = (SAMPLES / "floor_led.jpg").read_bytes(), set()
    with serve_givens(folder) as server:
        desk = beside(server)
        assert list_rooms(desk, local_user(desk)), "the first start brings a sample room"
        user = access.add_user(desk, "Ada", PHRASE)
        token = client.make_link(desk, user, new_room(desk, user, "Hall"))
        desk.store.close()
        householder = Visitor(server.address)
        visit = householder.open_link(token)

        def send(number: int) -> None:
            status, body = householder.send(f"/client-photos/{visit}", data + bytes([number]), "floor.jpg")
            assert status == 200, body
            kept.add(json.loads(body)["kept"])

        send(0)
        givens(folder, "user", "add", "Ben", "--passphrase-file", str(phrase))
        send(1)
        with closing(sqlite3.connect(folder / "givens.db")) as viewer:
            assert len(viewer.execute("SELECT sha FROM photos WHERE by = 'client'").fetchall()) == 2
        send(2)
        givens(folder, "backup", str(tmp_path / "shop.zip"))
        send(3)
        with serve_givens(folder) as second:
            elsewhere = Visitor(second.address)
            assert elsewhere.open_link(token) == visit
            send(4)
        send(5)
        server.process.kill()
    desk = open_desk(Settings(folder=folder))
    assert {photo.sha for photo in client.client_room(desk, token).photos} == kept
    desk.store.close()
    assert restore_backup(tmp_path / "shop.zip", tmp_path / "back").photos >= 3


def test_nothing_told_to_be_kept_is_lost_by_kills(tmp_path: Path) -> None:
    """A part of ``python -m tests.soak.kills``, which does the same two hundred times."""
    found = soak(tmp_path, kills=3, seed=7, url=None)
    assert found.faults == []
    assert found.kills == 3
    assert sum(found.kept.values()) > 0
