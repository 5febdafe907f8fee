"""What people do with the app in a soak: householders send photos, consultants sign in and look through their rooms.

What each waited for is noted, and all that they were told to be kept, which is looked for in the end.
"""

from __future__ import annotations

import json
import random
import time
from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeVar

import numpy as np
from sqlalchemy import select

from matcher.errors import GivensError
from matcher.service.desk import Desk
from matcher.store.tables import PhotoRow, RoomRow
from tests.soak.visitor import Visitor
from ui import words

SAMPLES = Path(__file__).parents[2] / "sample_photos" / "kitchen"
PHRASE = "seven blue doors"
STEPS = ("brief", "photos", "mark", "shortlist", "scheme")
THOUGHT_S = 6.0  # seconds between one thing and the next, on average; assumption
PHOTOS = 6

T = TypeVar("T")


@dataclass
class Waits:
    """Seconds by what was waited for; told to be kept, by room: photos, the last turn of its name, the last turn of its
    brief, outlines; what went wrong.
    """

    seconds: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    kept: dict[str, set[str]] = field(default_factory=lambda: defaultdict(set))
    named: dict[str, int] = field(default_factory=dict)
    briefed: dict[str, int] = field(default_factory=dict)
    outlined: dict[str, int] = field(default_factory=dict)
    faults: list[str] = field(default_factory=list)

    def timed(self, what: str, act: Callable[..., T], *given: object) -> T:
        """Do something and note how long it took."""
        start = time.perf_counter()
        found = act(*given)
        self.seconds[what].append(time.perf_counter() - start)
        return found

    def table(self, *percents: int) -> str:
        """Return the waits in lines: how often, the median, and these percentiles."""
        lines = []
        for what, taken in sorted(self.seconds.items()):
            shares = [f"{share} % {np.percentile(taken, share):6.3f}" for share in percents]
            lines.append(f"{what:<28}{len(taken):6}   median {np.median(taken):6.3f} s   {'   '.join(shares)}")
        return "\n".join(lines)

    def told(self) -> str:
        """Return in words how much was told to be kept."""
        photos = sum(map(len, self.kept.values()))
        turns = max(self.named.values(), default=0)
        names, briefs = f"names of {len(self.named)} rooms up to turn {turns}", f"{sum(self.briefed.values())} briefs"
        return f"told to be kept: {photos} photos, {sum(self.outlined.values())} outlines, {names}, {briefs}"


def householder(me: Visitor, token: str, room: str, end: float, waits: Waits, seed: int) -> None:
    """Open a link, look at the page, send photos and look at them, until ``end``."""
    dice = random.Random(seed)
    data = (SAMPLES / "floor_led.jpg").read_bytes()
    try:
        visit = waits.timed("link opened", me.open_link, token)
        while True:
            said = waits.timed("householder's page", me.page, "client", f"visit={visit}")
            if words.CLIENT_TITLE not in said:
                waits.faults.append(f"a page that is not theirs: {said[:200]}")
            for _ in range(dice.randrange(1, 3)):
                # Other bytes every time: the same photo twice is recognised.
                sent = data + dice.randbytes(8)
                if len(waits.kept[room]) < PHOTOS:
                    _send(me, visit, sent, room, waits)
            for sha in list(waits.kept[room])[:2]:
                status, *_ = waits.timed("a photo shown", me.ask, f"/client-pictures/{visit}/{sha}")
                if status != 200:
                    waits.faults.append(f"a photo is not shown: {status}")
            if time.monotonic() >= end:
                break
            time.sleep(dice.uniform(0, 2 * THOUGHT_S))
    except (OSError, AssertionError, TimeoutError) as error:
        waits.faults.append(f"a householder was turned away: {error!r}")
    finally:
        me.leave()


def _send(me: Visitor, visit: str, data: bytes, room: str, waits: Waits) -> None:
    status, body = waits.timed("photo sent, to its verdict", me.send, f"/client-photos/{visit}", data, "floor.jpg")
    if status == 200:
        waits.kept[room].add(json.loads(body)["kept"])
    elif status != 429:
        waits.faults.append(f"a photo was refused: {status} {body[:200]!r}")


def consultant(me: Visitor, name: str, rooms: Sequence[str], end: float, waits: Waits, seed: int) -> None:
    """Sign in and look through rooms, from step to step, until ``end``."""
    dice = random.Random(1000 + seed)
    try:
        waits.timed("signed in", me.sign_in, name, PHRASE)
        while True:
            waits.timed("the list of rooms", me.page, "")
            room = dice.choice(rooms)
            for step in STEPS:
                waits.timed(f"page: {step}", me.page, step, f"room={room}")
                if time.monotonic() < end:
                    time.sleep(dice.uniform(0, THOUGHT_S))
            if time.monotonic() >= end:
                break
    except (OSError, AssertionError, TimeoutError) as error:
        waits.faults.append(f"a consultant was turned away: {error!r}")
    finally:
        me.leave()


def writing_householder(me: Visitor, token: str, room: str, end: float, waits: Waits, seed: int) -> None:
    """Fill in the brief again and again, each time another turn of it."""
    dice = random.Random(2000 + seed)
    try:
        visit = waits.timed("link opened", me.open_link, token)
        turn = 0
        while time.monotonic() < end:
            turn += 1
            waits.timed("householder's page", me.page, "client", f"visit={visit}")
            said = waits.timed(
                "a brief sent", me.change, words.CLIENT_DISLIKES, brief_of(turn), words.CLIENT_SEND_BRIEF
            )
            if words.CLIENT_BRIEF_SAVED.partition(".")[0] in said:
                waits.briefed[room] = turn
            time.sleep(dice.uniform(0, THOUGHT_S))
    except (OSError, AssertionError, TimeoutError) as error:
        waits.faults.append(f"a householder was turned away: {error!r}")
    finally:
        me.leave()


def writing_consultant(me: Visitor, name: str, rooms: Sequence[str], end: float, waits: Waits, seed: int) -> None:
    """Name rooms anew and outline surfaces in their photos; nobody else changes them."""
    dice = random.Random(3000 + seed)
    try:
        waits.timed("signed in", me.sign_in, name, PHRASE)
        turn = 0
        while time.monotonic() < end:
            turn += 1
            room = dice.choice(rooms)
            waits.timed("page: brief", me.page, "brief", f"room={room}")
            said = waits.timed("a name saved", me.change, words.ROOM_NAME, name_of(turn))
            if "Saved " in said and words.NOT_SAVED not in said:
                waits.named[room] = turn
            waits.timed("page: mark", me.page, "mark", f"room={room}")
            if me.tool is not None:
                count = waits.timed("an outline saved", me.outline)
                waits.outlined[room] = max(count, waits.outlined.get(room, 0))
            time.sleep(dice.uniform(0, THOUGHT_S / 2))
    except (OSError, AssertionError, TimeoutError) as error:
        waits.faults.append(f"a consultant was turned away: {error!r}")
    finally:
        me.leave()


def name_of(turn: int) -> str:
    """Return what a room is called at a turn."""
    return f"Room at turn {turn}"


def brief_of(turn: int) -> str:
    """Return what a householder does not want to see at a turn."""
    return f"no pink, {turn} times"


def lost(desk: Desk, waits: Waits) -> list[str]:
    """Return what was told to be kept and is not there, and photos without their bytes."""
    faults = []
    with desk.store.database.reading() as session:
        rows = session.execute(select(PhotoRow.room_id, PhotoRow.sha, PhotoRow.suffix)).all()
        rooms = {row.id: row for row in session.execute(select(RoomRow.id, RoomRow.document, RoomRow.brief))}
    held = {(room, sha) for room, sha, _ in rows}
    for room, shas in waits.kept.items():
        faults += [f"a photo is gone: {sha}" for sha in shas if (room, sha) not in held]
    for sha, suffix in {(sha, suffix) for _, sha, suffix in rows}:
        try:
            with desk.store.photos.brought(desk.store.photos.path(sha, suffix)):
                pass
        except GivensError as error:
            faults.append(f"a photo cannot be had: {sha} ({error})")
    # What was begun and not told may be there too: never less than was told.
    for room, turn in waits.named.items():
        faults += _older(room, "name", rooms[room].document["room"]["name"], turn, name_of)
    for room, turn in waits.briefed.items():
        faults += _older(room, "brief", rooms[room].brief.get("dislikes", ""), turn, brief_of)
    for room, count in waits.outlined.items():
        there = sum(
            len(each["outlines"]) for entry in rooms[room].document["photos"] for each in entry.get("surfaces", ())
        )
        if there < count:
            faults.append(f"outlines are gone: {there} stand where {count} were told")
    return faults


def _older(room: str, what: str, stored: str, turn: int, said_at: Callable[[int], str]) -> list[str]:
    digits = "".join(letter for letter in stored if letter.isdigit())
    if digits and int(digits) >= turn and stored == said_at(int(digits)):
        return []
    return [f"a {what} is gone: {stored!r} stands where turn {turn} was told in {room}"]
