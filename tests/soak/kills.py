"""A store whose process is killed again and again: ``python -m tests.soak.kills [KILLS] [SEED] [DATABASE_URL]``.

Four hands make rooms, send photos, mark, pin, answer, take rooms away and remove photos and rooms, in a process of
their own; beside it accounts are added and backups taken; results are written into one folder by another process. All
of them are killed at random moments (SIGKILL). Afterwards the store is opened as at the next start, and what was told
to be kept is looked for: lost writes, files that belong to nobody, folders with results of two runs. Exit 1 for any.

``GIVENS_PHOTO_ADDRESS`` in the environment has the photos lie there: then what a killed hand had sent may stay for as
long as it is noted, and is looked for at the end.
"""

from __future__ import annotations

import json
import os
import random
import subprocess
import sys
import tempfile
import threading
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import timedelta
from pathlib import Path
from typing import Any
from unittest.mock import patch

import fsspec
from sqlalchemy import select

from matcher.errors import GivensError, NotFoundError
from matcher.service import access
from matcher.service.desk import Desk, list_rooms, load_room, open_desk
from matcher.settings import Settings
from matcher.store.backup import restore_backup
from matcher.store.tables import OnTheWayRow, PhotoRow
from tests.soak.hands import NAME, PHRASE

ROOT = Path(__file__).parents[2]
_GIVENS = "import sys; sys.argv[0] = 'givens'; from matcher.cli.app import main; main()"
# Two rooms whose results follow each other in one folder; no word of a page is like them.
_NAMES = ("Quabbly", "Zorvex")
# Seconds that a process may work before it is killed, drawn evenly.
_SHORTEST, _LONGEST = 0.05, 1.5
_RESULTS = """
import sys
from pathlib import Path
from matcher.report.output import write_folder
from matcher.service import shortlist
rooms = [shortlist(Path(path)) for path in sys.argv[2:]]
print("ready", flush=True)
from matcher import service
while True:
    for answer in rooms:
        service.write(answer, Path(sys.argv[1]))
"""
_ROOM = """
[room]
name = "{name}"
[wishes]
roles = ["walls"]
[[surfaces]]
name = "floor"
material = "timber"
lab = [55.0, 14.0, 28.0]
"""


@dataclass
class Told:
    """What hands were told to be kept, or had begun when they were killed."""

    kept: list[dict[str, Any]] = field(default_factory=list)
    begun: list[dict[str, Any]] = field(default_factory=list)


@dataclass
class Found:
    """What a soak counts."""

    kills: int = 0
    kept: Counter[str] = field(default_factory=Counter)
    backups: int = 0
    accounts: int = 0
    faults: list[str] = field(default_factory=list)


def main(arguments: list[str]) -> int:
    """Print the figures; 1 where anything was lost."""
    kills = int(arguments[0]) if arguments else 200
    seed = int(arguments[1]) if len(arguments) > 1 else 1
    url = arguments[2] if len(arguments) > 2 else None
    started = time.monotonic()
    with tempfile.TemporaryDirectory() as name:
        found = soak(Path(name), kills, seed, url)
    print(f"{found.kills} kills in {time.monotonic() - started:.0f} s; told to be kept: {sum(found.kept.values())}")
    print(", ".join(f"{what} {count}" for what, count in sorted(found.kept.items())))
    print(f"beside it: {found.accounts} accounts added, {found.backups} backups taken and restored")
    for fault in found.faults:
        print(f"LOST: {fault}")
    print(f"{len(found.faults)} faults")
    return 1 if found.faults else 0


def soak(folder: Path, kills: int, seed: int, url: str | None) -> Found:
    """Kill ``kills`` processes at random and look after each."""
    dice = random.Random(seed)
    settings = Settings(folder=folder / "data", database_url=url)
    desk = open_desk(settings)
    access.add_user(desk, NAME, PHRASE)
    desk.store.close()
    found, all_told = Found(), Told()
    with _results(folder) as write:
        for turn in range(kills):
            writing = threading.Thread(target=write, args=(dice.uniform(0.0, 0.3),))
            writing.start()
            told = _killed(folder, turn, seed, url, dice, found)
            writing.join()
            all_told.kept += told.kept
            all_told.begun += told.begun
            found.kills += 1
            found.faults += [f"kill {turn}: {fault}" for fault in _look(settings, all_told)]
            found.faults += [f"kill {turn}: {fault}" for fault in _mixed(folder / "results")]
            if found.faults:
                break
    found.faults += _left_in_the_end(settings)
    found.kept.update(one["what"] for one in all_told.kept)
    return found


def _killed(folder: Path, turn: int, seed: int, url: str | None, dice: random.Random, found: Found) -> Told:
    """Let hands work and kill them; every few turns with an account added and a backup taken beside them."""
    command = [sys.executable, "-m", "tests.soak.hands", str(folder / "data"), str(seed * 1000 + turn)]
    process = subprocess.Popen([*command, *([url] if url else [])], cwd=ROOT, stdout=subprocess.PIPE, text=True)
    told = Told()
    assert process.stdout
    with process.stdout as lines:
        assert json.loads(lines.readline()) == {"ready": True}
        timer = threading.Timer(dice.uniform(_SHORTEST, _LONGEST), process.kill)
        # The first of them lives until it has kept something: on a slow machine a soak would else be of nothing.
        if turn:
            timer.start()
        beside = threading.Thread(target=_beside, args=(folder, turn, url, found)) if turn % 5 == 0 else None
        if beside:
            beside.start()
        for line in lines:
            # The last one may be cut short.
            if line.endswith("}\n"):
                said = json.loads(line)
                (told.begun if "begin" in said else told.kept).append(said)
                if timer.ident is None and told.kept:
                    timer.start()
        if beside:
            beside.join()
    timer.cancel()
    process.wait()
    return told


def _beside(folder: Path, turn: int, url: str | None, found: Found) -> None:
    """Add an account and take a backup from processes of their own, then restore it."""
    environment = {**os.environ, "GIVENS_FOLDER": str(folder / "data"), **({"GIVENS_DATABASE_URL": url} if url else {})}
    phrase = folder / "phrase.txt"
    phrase.write_text(PHRASE)
    commands = [["user", "add", f"Somebody {turn}", "--passphrase-file", str(phrase)]]
    if url is None:
        commands.append(["backup", str(folder / f"{turn}.zip")])
    for command in commands:
        done = subprocess.run(
            [sys.executable, "-c", _GIVENS, *command],
            cwd=ROOT,
            env=environment,
            capture_output=True,
            text=True,
            check=False,
        )
        if done.returncode:
            found.faults.append(f"givens {command[0]} failed: {done.stderr}")
            return
    found.accounts += 1
    if url is None:
        try:
            restore_backup(folder / f"{turn}.zip", folder / f"back {turn}")
            found.backups += 1
        except GivensError as error:
            found.faults.append(f"a backup does not come back: {error}")


@contextmanager
def _results(folder: Path) -> Iterator[Any]:
    """Give what lets results be written for a while and kills whoever writes them."""
    paths = []
    for name in _NAMES:
        path = folder / f"{name}.toml"
        path.write_text(_ROOM.format(name=name))
        paths.append(str(path))

    def write(seconds: float) -> None:
        command = [sys.executable, "-c", _RESULTS, str(folder / "results"), *paths]
        process = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True)
        assert process.stdout
        with process.stdout as lines:
            lines.readline()
            time.sleep(seconds)
            process.kill()
        process.wait()

    yield write


def _mixed(folder: Path) -> list[str]:
    """Return what is wrong with the folder of results: files of two runs, or a result without its page."""
    names: dict[str, set[str]] = {}
    for path in folder.glob("*"):
        if path.is_file():
            text = path.read_text(encoding="utf-8")
            names[path.name] = {name for name in _NAMES if name in text}
    said = set().union(*names.values()) if names else set()
    if len(said) > 1:
        return [f"results of two runs in one folder: {names}"]
    return ["a result.json without its page"] if "result.json" in names and "report.html" not in names else []


def _look(settings: Settings, told: Told) -> list[str]:
    """Open the store as at the next start and return what is not as it was told."""
    desk = open_desk(settings)
    try:
        return [*_lost(desk, told), *_unowned(desk, settings.folder)]
    finally:
        desk.store.close()


def _lost(desk: Desk, told: Told) -> list[str]:
    user = access.user_of(desk, access.sign_in(desk, NAME, PHRASE, address="soak"))
    assert user
    listed = {room.id for room in list_rooms(desk, user)}
    removing = {one["room"] for one in told.begun if one["what"] == "removed room"}
    removed = {one["room"] for one in told.kept if one["what"] == "removed room"}
    faults = [f"a removed room is back: {room}" for room in removed & listed]
    rooms = {one["kept"] for one in told.kept if one["what"] == "room"}
    faults += [f"a room is gone: {room}" for room in rooms - listed - removing]
    for room in rooms & listed - removing:
        try:
            faults += _lost_in(load_room(desk, user, room), room, told)
        except NotFoundError:
            faults.append(f"a room is gone: {room}")
    return faults


def _lost_in(stored: Any, room: str, told: Told) -> list[str]:
    kept = [one for one in told.kept if one.get("room") == room]
    begun = [one for one in told.begun if one.get("room") == room]
    shas = {photo.sha for photo in stored.photos}
    going = {one["sha"] for one in begun if one["what"] == "removed photo"}
    gone = {one["sha"] for one in kept if one["what"] == "removed photo"}
    faults = [
        f"a photo is gone: {sha}" for one in kept if one["what"] == "photo" for sha in {one["kept"]} - shas - going
    ]
    faults += [f"a removed photo is back: {sha}" for sha in gone & shas]
    notes = {answer.note for answer in stored.answers}
    faults += [
        f"an answer is gone: {one['note']}" for one in kept if one["what"] == "answer" and one["note"] not in notes
    ]
    for what, value in (("mark", _mark_of(stored.document)), ("pin", _pin_of(stored.document))):
        least = max((one["value"] for one in kept if one["what"] == what), default=0)
        if value < least:
            faults.append(f"a {what} is gone: {value} stands where {least} was told")
    return faults


def _mark_of(document: dict[str, Any]) -> int:
    labs = [surface["lab"] for surface in document.get("surfaces", ())]
    return int(labs[0][1] + 100 * labs[0][2]) if labs else 0


def _pin_of(document: dict[str, Any]) -> int:
    return int(document.get("pins", {}).get("walls", "P0")[1:])


def _unowned(desk: Desk, folder: Path) -> list[str]:
    """Return the files of the store that belong to no photo of any room, and photos without a file."""
    with desk.store.database.reading() as session:
        owned = {f"{sha}{suffix}" for sha, suffix in session.execute(select(PhotoRow.sha, PhotoRow.suffix)).all()}
        noted = set(session.scalars(select(OnTheWayRow.sha)))
    lying = _lying(desk.settings)
    stray = {name for name in lying - owned if name.partition(".")[0] not in noted}
    faults = [f"a file belongs to nobody: {name}" for name in stray]
    faults += [f"a photo has no file: {name}" for name in owned - lying]
    faults += [f"left on its way: {path}" for path in (folder / "incoming").rglob("*")]
    return faults


def _left_in_the_end(settings: Settings) -> list[str]:
    """Return what lies there for nobody once nothing is on its way any more."""
    with patch("matcher.store.on_the_way._ABANDONED", timedelta(0)):
        desk = open_desk(settings)
    try:
        with desk.store.database.reading() as session:
            owned = set(session.scalars(select(PhotoRow.sha)))
            noted = session.scalars(select(OnTheWayRow.sha)).all()
        left = {name for name in _lying(settings) if name.partition(".")[0] not in owned}
        return [f"left in the end: {what}" for what in (*left, *noted)]
    finally:
        desk.store.close()


def _lying(settings: Settings) -> set[str]:
    """Return the names of the originals where photos are kept."""
    if settings.photo_address is None:
        return {path.name for path in (settings.folder / "photos").rglob("*") if path.is_file()}
    files, root = fsspec.core.url_to_fs(settings.photo_address, use_listings_cache=False)
    return {name.rpartition("/")[2] for name in files.find(f"{root}/photos")}


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
