"""A crowd at two servers that die in turn: ``python -m tests.soak.two_servers [SECONDS] [HOUSEHOLDERS]``.

Two app servers behind nginx share a PostgreSQL database and a bucket of photos. Householders send photos and fill in
briefs, two consultants look through rooms, name them and outline surfaces. One server is killed (SIGKILL) in the middle
of everything and started again, later the other. Prints how long each had to wait, what they saw of it, and what was
told to be kept and is not there in the end. Exit 1 for a loss, or for somebody who could not go on.
"""

from __future__ import annotations

import logging
import os
import sys
import tempfile
import threading
import time
import uuid
from dataclasses import dataclass, field
from pathlib import Path

import fsspec

from matcher.service import access, client
from matcher.service.desk import Desk, add_photo, new_room
from tests.soak.patient import Breaks, PatientVisitor
from tests.soak.people import (
    PHRASE,
    SAMPLES,
    Waits,
    consultant,
    householder,
    lost,
    writing_consultant,
    writing_householder,
)
from tests.store.backends import postgresql_server
from tests.store.bucket import bucket_server, variables
from tests.ui.several_servers import Shop, shop

# Of the time that people are there: when a server is killed, and when it is started again.
_DEATHS = (("a", 0.2, 0.4), ("b", 0.6, 0.75))


@dataclass
class Found:
    """What a soak found."""

    waits: Waits = field(default_factory=Waits)
    breaks: Breaks = field(default_factory=Breaks)
    lost: list[str] = field(default_factory=list)


def main(arguments: list[str]) -> int:
    """Print the figures; 1 where anything that was told to be kept is not there, or somebody could not go on."""
    defaults = ["120", "20"]
    seconds, householders = (int(given) for given in [*arguments, *defaults[len(arguments) :]])
    with tempfile.TemporaryDirectory() as name, postgresql_server() as database, bucket_server() as address:
        os.environ.update(variables(address))
        logging.getLogger("werkzeug").setLevel(logging.ERROR)  # of the bucket's server, a line for each request
        bucket = f"photos-{uuid.uuid4().hex}"
        fsspec.filesystem("s3").mkdir(bucket)
        with shop(Path(name), database.address, f"s3://{bucket}/shop") as both:
            desk = both.desk()
            found = let_in(both, desk, seconds, householders)
            desk.store.close()
    print(f"{householders} householders and 2 consultants, {seconds} s, on the same cores as they; both servers killed")
    print(found.waits.table(95))
    print(f"seen: a connection broke and went on {found.breaks.broke} times, a page or picture was asked for again")
    print(f"{found.breaks.again} times; {len(found.waits.faults)} could not go on")
    print(found.waits.told())
    for fault in (*found.waits.faults, *found.lost):
        print(f"LOST: {fault}")
    print(f"{len(found.lost)} lost")
    return 1 if found.lost or found.waits.faults else 0


def let_in(both: Shop, desk: Desk, seconds: float, householders: int, *, again: bool = True) -> Found:
    """Let everybody in for a while and kill both servers in turn, or one of them, not to be started ``again``."""
    found = Found()
    names = ["Nan", "Olu"]
    nan, olu = (access.add_user(desk, name, PHRASE) for name in names)
    rooms = [new_room(desk, nan, f"Room {number}") for number in range(householders)]
    tokens = [client.make_link(desk, nan, room) for room in rooms]
    drawn = [new_room(desk, olu, f"Room {number}") for number in range(2)]
    for room in drawn:
        add_photo(desk, room, (SAMPLES / "floor_led.jpg").read_bytes(), "floor.jpg", by="consultant")
    end = time.monotonic() + seconds

    def visitor() -> PatientVisitor:
        return PatientVisitor(both.plain, found.breaks)

    people = [
        threading.Thread(
            # One in five writes, which is quicker than sending photos and meets a server's end more often.
            target=writing_householder if number % 5 == 0 else householder,
            args=(visitor(), token, room, end, found.waits, number),
        )
        for number, (token, room) in enumerate(zip(tokens, rooms, strict=True))
    ]
    people += [
        threading.Thread(target=consultant, args=(visitor(), names[0], rooms, end, found.waits, 0)),
        threading.Thread(target=writing_consultant, args=(visitor(), names[1], drawn, end, found.waits, 1)),
    ]
    for person in people:
        person.start()
    begun = time.monotonic()
    for name, dies, back in _DEATHS if again else _DEATHS[:1]:
        time.sleep(max(0.0, begun + dies * seconds - time.monotonic()))
        both.kill(name)
        if again:
            time.sleep(max(0.0, begun + back * seconds - time.monotonic()))
            both.start(name)
    for person in people:
        person.join()
    found.lost = lost(desk, found.waits)
    return found


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
