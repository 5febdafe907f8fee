"""A crowd at one server: ``python -m tests.soak.crowd [SECONDS] [HOUSEHOLDERS] [CONSULTANTS]``.

Householders open their links, send photos, look at their page and at their photos; consultants sign in, look through
rooms and the steps of one. Prints how long each had to wait, what of the photos told to be kept is there in the end,
and the memory of the server with its workers: before, at the most, and once everybody has gone. Exit 1 for a loss.
"""

from __future__ import annotations

import json
import random
import sys
import tempfile
import threading
import time
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeVar

import numpy as np
from sqlalchemy import text

from matcher.service import access, client
from matcher.service.desk import Desk, list_rooms, new_room
from tests.soak.memory import Most, tree_mb
from tests.soak.visitor import Visitor
from tests.ui.givens_server import Server, beside, serve_givens

SAMPLES = Path(__file__).parents[2] / "sample_photos" / "kitchen"
PHRASE = "seven blue doors"
_STEPS = ("brief", "photos", "mark", "shortlist", "scheme")
# Streamlit keeps a session for two minutes after its socket closed; then it is let go at the next look.
_SESSIONS_END_S = 150
_TIDIED_S = 40  # the app gives memory back twice a minute
_THOUGHT_S = 6.0  # seconds between one thing and the next, on average; assumption
_PHOTOS = 6

T = TypeVar("T")


@dataclass
class Waits:
    """Seconds by what was waited for, photos told to be kept by room, and what went wrong."""

    seconds: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    kept: dict[str, set[str]] = field(default_factory=lambda: defaultdict(set))
    faults: list[str] = field(default_factory=list)


def main(arguments: list[str]) -> int:
    """Print the figures; 1 where a photo that was told to be kept is not there."""
    defaults = ["300", "50", "5"]
    seconds, householders, consultants = (int(given) for given in [*arguments, *defaults[len(arguments) :]])
    with tempfile.TemporaryDirectory() as name, serve_givens(Path(name) / "data") as server:
        faults = crowd(server, seconds, householders, consultants)
    for fault in faults:
        print(f"LOST: {fault}")
    print(f"{len(faults)} faults")
    return 1 if faults else 0


def crowd(server: Server, seconds: float, householders: int, consultants: int) -> list[str]:
    """Let everybody in for a while; print the figures and return what was lost."""
    desk = beside(server)
    names = [f"Consultant {number}" for number in range(consultants)]
    users = [access.add_user(desk, name, PHRASE) for name in names]
    rooms = [new_room(desk, users[number % consultants], f"Room {number}") for number in range(householders)]
    tokens = [client.make_link(desk, users[number % consultants], room) for number, room in enumerate(rooms)]
    # Once through everything first: what a first visitor makes the server load is no leak.
    warm, waits = Waits(), Waits()
    _consultant(server, names[0], 0.0, warm, 0)
    _householder(server, tokens[0], rooms[0], 0.0, warm, 0)
    before, most = tree_mb(server.process.pid), Most(server.process.pid)
    end = time.monotonic() + seconds
    people = [
        threading.Thread(target=_householder, args=(server, token, room, end, waits, number))
        for number, (token, room) in enumerate(zip(tokens, rooms, strict=True))
    ]
    people += [
        threading.Thread(target=_consultant, args=(server, name, end, waits, number))
        for number, name in enumerate(names)
    ]
    for person in people:
        person.start()
    for person in people:
        person.join()
    peak = most.stop()
    print(f"{householders} householders and {consultants} consultants, {seconds:.0f} s, on the same cores as they")
    for what, taken in sorted(waits.seconds.items()):
        median, nine, worst = np.percentile(taken, [50, 90, 99])
        print(f"{what:<28}{len(taken):6}   median {median:6.3f} s   90 % {nine:6.3f}   99 % {worst:6.3f}")
    left = _after(server, names[0])
    print(f"server and workers: {before:.0f} MB before, {peak:.0f} at the most, {left:.0f} once everybody has gone")
    for room, shas in warm.kept.items():
        waits.kept[room] |= shas
    faults = [*warm.faults, *waits.faults, *_lost(desk, waits)]
    print(f"photos told to be kept: {sum(map(len, waits.kept.values()))}")
    desk.store.close()
    return faults


def _after(server: Server, name: str) -> float:
    """Return the memory when sessions have ended: Streamlit drops them when the next one comes."""
    time.sleep(_SESSIONS_END_S)
    late = Visitor(server.address)
    late.sign_in(name, PHRASE)
    late.page("")
    late.leave()
    time.sleep(_TIDIED_S)
    return tree_mb(server.process.pid)


def _timed(waits: Waits, what: str, act: Callable[..., T], *given: object) -> T:
    start = time.perf_counter()
    found = act(*given)
    waits.seconds[what].append(time.perf_counter() - start)
    return found


def _householder(server: Server, token: str, room: str, end: float, waits: Waits, seed: int) -> None:
    dice = random.Random(seed)
    data = (SAMPLES / "floor_led.jpg").read_bytes()
    me = Visitor(server.address)
    try:
        visit = _timed(waits, "link opened", me.open_link, token)
        while True:
            said = _timed(waits, "householder's page", me.page, "client", f"visit={visit}")
            if "Photos for your colour consultant" not in said:
                waits.faults.append(f"a page that is not theirs: {said[:200]}")
            for _ in range(dice.randrange(1, 3)):
                # Other bytes every time: the same photo twice is recognised.
                sent = data + dice.randbytes(8)
                if len(waits.kept[room]) < _PHOTOS:
                    _send(me, visit, sent, room, waits)
            for sha in list(waits.kept[room])[:2]:
                status, *_ = _timed(waits, "a photo shown", me.ask, f"/client-pictures/{visit}/{sha}")
                if status != 200:
                    waits.faults.append(f"a photo is not shown: {status}")
            if time.monotonic() >= end:
                break
            time.sleep(dice.uniform(0, 2 * _THOUGHT_S))
    except (OSError, AssertionError, TimeoutError) as error:
        waits.faults.append(f"a householder was turned away: {error!r}")
    finally:
        me.leave()


def _send(me: Visitor, visit: str, data: bytes, room: str, waits: Waits) -> None:
    status, body = _timed(waits, "photo sent, to its verdict", me.send, f"/client-photos/{visit}", data, "floor.jpg")
    if status == 200:
        waits.kept[room].add(json.loads(body)["kept"])
    elif status != 429:
        waits.faults.append(f"a photo was refused: {status} {body[:200]!r}")


def _consultant(server: Server, name: str, end: float, waits: Waits, seed: int) -> None:
    dice = random.Random(1000 + seed)
    me = Visitor(server.address)
    try:
        _timed(waits, "signed in", me.sign_in, name, PHRASE)
        desk = beside(server)
        user = access.user_of(desk, me.cookies["givens-session"])
        assert user
        mine = [room.id for room in list_rooms(desk, user)]
        desk.store.close()
        while True:
            _timed(waits, "the list of rooms", me.page, "")
            room = dice.choice(mine)
            for step in _STEPS:
                _timed(waits, f"page: {step}", me.page, step, f"room={room}")
                if time.monotonic() < end:
                    time.sleep(dice.uniform(0, _THOUGHT_S))
            if time.monotonic() >= end:
                break
    except (OSError, AssertionError, TimeoutError) as error:
        waits.faults.append(f"a consultant was turned away: {error!r}")
    finally:
        me.leave()


def _lost(desk: Desk, waits: Waits) -> list[str]:
    faults = []
    with desk.store.database.reading() as session:
        rows = session.execute(text("SELECT room_id, sha, suffix FROM photos")).all()
    held = {(room, sha) for room, sha, _ in rows}
    for room, shas in waits.kept.items():
        faults += [f"a photo is gone: {sha}" for sha in shas if (room, sha) not in held]
    faults += [
        f"a photo has no file: {sha}" for _, sha, suffix in rows if not desk.store.photos.path(sha, suffix).exists()
    ]
    return faults


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
