"""A practice with many open rooms against a new edition of the deck: how long, on how many processors, and what a kill
costs.

    python -m tests.benchmarks.edition [ROOMS] [PAINTS] [KILLS]

Rooms have four measured surfaces, three roles, here and there a chosen or a shared paint; their measurements are kept,
so no photo is needed. Prints seconds by the clock and of processor (our own and the children's) in one process, in two,
and on a Dask cluster of two workers of one thread each; whether all gave the same; then kills the command at random and
begins it again until it has been killed KILLS times and ends by itself, and compares. Exits with 1 where anything
differs.
"""

from __future__ import annotations

import csv
import json
import os
import random
import resource
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from matcher.service.desk import Desk, open_desk
from matcher.service.edition import update_deck
from matcher.service.kept_measurement import marks_of
from matcher.settings import Settings
from matcher.store import people
from matcher.store.tables import EditionRoomRow, EditionRow, MeasurementRow, PhotoRow, RoomRow, ShareRow
from matcher.surfaces.combining import make_surface
from matcher.surfaces.kept import KeptMeasurement, KeptSurvey, write_survey
from matcher.surfaces.surface import Surface, SurfaceColour
from matcher.surfaces.version import measurement_version

# isort: split
# After Givens, as in the command that is timed: it says how many threads numpy's linear algebra may have.
import numpy as np
from sqlalchemy import delete, func, select

ROLES = ["walls", "trim", "cabinets"]


def write_decks(folder: Path, paints: int, *, seed: int = 0) -> tuple[Path, Path]:
    """Write an edition of ``paints`` and the next: of 100 paints 5 are gone, 5 new, 3 moved, 2 renamed."""
    rng = np.random.default_rng(seed)
    lab = np.column_stack([rng.uniform(20, 97, paints), rng.normal(2, 9, paints), rng.normal(8, 13, paints)])
    old = [(f"P{number:05}", f"Paint {number}", *np.round(row, 2)) for number, row in enumerate(lab)]
    new = []
    for code, name, *colour in old:
        fate = rng.integers(100)
        if fate < 5:
            continue
        if fate < 8:
            colour = list(np.round(np.array(colour) + rng.normal(0, 1.5, 3), 2))
        new.append((f"Q{code[1:]}" if 8 <= fate < 10 else code, name, *colour))
    new += [
        (f"N{number:05}", f"New {number}", *np.round(lab[rng.integers(paints)] + rng.normal(0, 3, 3), 2))
        for number in range(paints // 20)
    ]
    paths = folder / "old.csv", folder / "new.csv"
    for path, rows in zip(paths, (old, new), strict=True):
        with path.open("w", newline="") as stream:
            csv.writer(stream).writerows([("code", "name", "L", "a", "b"), *(_possible(row) for row in rows)])
    return paths


def _possible(row: tuple[Any, ...]) -> tuple[Any, ...]:
    return (*row[:2], min(max(row[2], 0.0), 100.0), *row[3:])


def furnish(desk: Desk, rooms: int, codes: list[str], *, seed: int = 0) -> None:
    """Fill a store with measured rooms."""
    rng, chance, now = np.random.default_rng(seed), random.Random(seed), datetime.now(UTC)
    owner = people.add_user(desk.store, "Practice", "practice", "").id
    with desk.store.database.writing() as session:
        for number in range(rooms):
            room, sha, name = f"{number:032x}", f"{number:064x}", "whole.jpg"
            turns = np.arange(40) / 40 * 2 * np.pi
            outline = np.round(1000 + 400 * np.column_stack([np.cos(turns), np.sin(turns)])).tolist()
            surfaces = [{"name": f"surface {place}", "material": "stone", "outline": outline} for place in range(4)]
            document: dict[str, Any] = {
                "room": {"name": f"Room {number}", "facing": chance.choice(["N", "E", "S", "W"]), "latitude": 51.5},
                "wishes": {"roles": ROLES, "warmth": chance.choice(["either", "warm", "cool"])},
                "photos": [{"file": name, "surfaces": surfaces}],
            }
            if chance.random() < 0.3:
                document["pins"] = {chance.choice(ROLES): chance.choice(codes)}
            session.add(
                RoomRow(
                    id=room, owner=owner, name=f"Room {number}", document=document, surfaces=4, brief={}, remark="",
                    revision=1, stage="new", client_events=0, seen_events=0, created=now, updated=now,
                )
            )  # fmt: skip
            session.flush()
            session.add(
                PhotoRow(
                    room_id=room, sha=sha, suffix=".jpg", name=name, width=4032, height=3024, verdict={},
                    by="consultant", created=now,
                )
            )  # fmt: skip
            if chance.random() < 0.3:
                paints = [{"id": role, "code": chance.choice(codes)} for role in ROLES]
                session.add(ShareRow(room_id=room, content={"paints": paints}, created=now))
            content = write_survey(KeptSurvey(KeptMeasurement(surfaces_of(rng), (), (), (), (), ()), (), ()))
            session.add(
                MeasurementRow(
                    room_id=room, marks=marks_of(document, {name: sha}, {}), version=measurement_version(),
                    content=content, moved={"surfaces": []}, created=now,
                )
            )  # fmt: skip


def surfaces_of(rng: np.random.Generator) -> tuple[Surface, ...]:
    """Four surfaces of one to three colours, with their doubt."""
    found = []
    for place in range(4):
        count = int(rng.integers(1, 4))
        shares = rng.dirichlet(np.full(count, 3.0))
        colours = []
        for share in sorted(shares.tolist(), reverse=True):
            covariance = np.diag(rng.uniform(0.5, 4.0, 3))
            lab = np.array([rng.uniform(25, 92), rng.normal(3, 6), rng.normal(10, 9)])
            causes = {"level": covariance * 0.5, "texture": covariance * 0.5}
            colours.append(SurfaceColour(lab, covariance, share, "field", causes))
        found.append(
            make_surface(
                f"surface {place}", "stone", tuple(colours), visibility=0.25, source="photo", has_own_card=True
            )
        )
    return tuple(found)


def forget(desk: Desk) -> None:
    """Take every ranking out of the store."""
    with desk.store.database.writing() as session:
        session.execute(delete(EditionRoomRow))
        session.execute(delete(EditionRow))


def cpu_s() -> float:
    """Seconds of processor, ours and those of children that have ended."""
    return sum(
        used.ru_utime + used.ru_stime
        for used in map(resource.getrusage, (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    )


def timed(what: str, work: Callable[[], dict[str, Any]]) -> tuple[dict[str, Any], float]:
    """Return what ``work`` gives and the seconds it took, and print them."""
    clock, used = time.perf_counter(), cpu_s()
    result = work()
    took = time.perf_counter() - clock
    print(f"{what:28} {took:7.1f} s by the clock, {cpu_s() - used:7.1f} s of processor", flush=True)
    return result, took


@contextmanager
def cluster(workers: int) -> Iterator[str]:
    """Start a scheduler and workers of one thread each, as the command line of Dask does, and give its address."""
    port = 20_000 + os.getpid() % 20_000
    address = f"tcp://127.0.0.1:{port}"
    dask = [
        sys.executable,
        "-m",
        "distributed.cli.dask_scheduler",
        "--host",
        "127.0.0.1",
        "--port",
        str(port),
        "--no-dashboard",
    ]
    worker = [
        sys.executable,
        "-m",
        "distributed.cli.dask_worker",
        address,
        "--nthreads",
        "1",
        "--no-dashboard",
        "--no-nanny",
    ]
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    running = [subprocess.Popen(command, **quiet) for command in (dask, *[worker] * workers)]  # type: ignore[call-overload]
    try:
        from distributed import Client

        with Client(address, timeout=60, set_as_default=False) as client:
            client.wait_for_workers(workers, timeout=60)
        yield address
    finally:
        for process in reversed(running):
            process.kill()
            process.wait()


def told(result: dict[str, Any]) -> str:
    """All of a result but how much of it was done just now."""
    return json.dumps({**result, "ranked": result["ranked"]["in_all"]}, sort_keys=True)


def killed(desk: Desk, old: Path, new: Path, kills: int, longest_s: float) -> tuple[str, int]:
    """Kill the command at random ``kills`` times, then let it end; return what it said and how often it was begun."""
    chance, begun, killed_so_far = random.Random(0), 0, 0
    environment = {**os.environ, "GIVENS_FOLDER": str(desk.settings.folder)}
    command = [
        sys.executable,
        "-c",
        "from matcher.cli.app import main; main()",
        "deck",
        "update",
        str(new),
        "--old",
        str(old),
    ]
    while True:
        begun += 1
        process = subprocess.Popen(
            [*command, "--json", "-q"], stdout=subprocess.PIPE, env=environment, start_new_session=True
        )
        try:
            out, _ = process.communicate(
                timeout=chance.uniform(0.05, 1.0) * longest_s if killed_so_far < kills else None
            )
        except subprocess.TimeoutExpired:
            os.killpg(process.pid, signal.SIGKILL)
            process.communicate()
            killed_so_far += 1
            with desk.store.database.reading() as session:
                kept = session.scalar(select(func.count()).select_from(EditionRoomRow))
            print(f"  killed, {kept} rooms were kept", flush=True)
            continue
        if killed_so_far >= kills:
            return told(json.loads(out)), begun
        forget(desk)  # it was done before its time came: once more from the start


def main(rooms: int, paints: int, kills: int) -> int:
    """Print it all; return 1 where results differ."""
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        old, new = write_decks(folder, paints)
        desk = open_desk(Settings(folder=folder / "data", deck=old))
        with old.open() as stream:
            codes = [row[0] for row in csv.reader(stream)][1:]
        furnish(desk, rooms, codes)
        print(f"{rooms} rooms of 4 surfaces and 3 roles, {paints} paints, {os.cpu_count()} processors")
        alone, one = timed("one process", lambda: update_deck(desk, new, processes=1))
        forget(desk)
        both, two = timed("two processes", lambda: update_deck(desk, new, processes=2))
        again, _ = timed("again, nothing to do", lambda: update_deck(desk, new, processes=2))
        forget(desk)
        with cluster(2) as address:
            spread, _ = timed("a scheduler, two workers", lambda: update_deck(desk, new, scheduler=address))
        forget(desk)
        resumed, begun = killed(desk, old, new, kills, two)
        same = len({told(alone), told(both), told(again), told(spread), resumed}) == 1
        with desk.store.database.reading() as session:
            kept = session.scalar(select(func.count()).select_from(EditionRoomRow))
        changed = sum(len(room["changed"]) for room in alone["rooms"])
        print(f"ratio one to two processes {one / two:.2f}; begun {begun} times, {kept} rows for {rooms} rooms")
        print(f"{len(alone['rooms'])} rooms change, {changed} changes; all results {'the same' if same else 'DIFFER'}")
        desk.store.close()
    return 0 if same and kept == rooms else 1


if __name__ == "__main__":
    given = [int(text) for text in sys.argv[1:]]
    sys.exit(main(*[*given, *(2000, 3000, 10)[len(given) :]]))
