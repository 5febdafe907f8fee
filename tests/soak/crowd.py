"""A crowd at one server: ``python -m tests.soak.crowd [SECONDS] [HOUSEHOLDERS] [CONSULTANTS]``.

Householders open their links, send photos, look at their page and at their photos; consultants sign in, look through
rooms and the steps of one. Prints how long each had to wait, what of the photos told to be kept is there in the end,
and the memory of the server with its workers: before, at the most, and once everybody has gone. Exit 1 for a loss.
"""

from __future__ import annotations

import sys
import tempfile
import threading
import time
from pathlib import Path

from matcher.service import access, client
from matcher.service.desk import list_rooms, new_room
from tests.soak.memory import Most, tree_mb
from tests.soak.people import PHRASE, Waits, consultant, householder, lost
from tests.soak.visitor import Visitor
from tests.ui.givens_server import Server, beside, serve_givens

# Streamlit keeps a session for two minutes after its socket closed; then it is let go at the next look.
_SESSIONS_END_S = 150
_TIDIED_S = 40  # the app gives memory back twice a minute


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
    theirs = [[room.id for room in list_rooms(desk, user)] for user in users]
    consultant(Visitor(server.address), names[0], theirs[0], 0.0, warm, 0)
    householder(Visitor(server.address), tokens[0], rooms[0], 0.0, warm, 0)
    before, most = tree_mb(server.process.pid), Most(server.process.pid)
    end = time.monotonic() + seconds
    people = [
        threading.Thread(target=householder, args=(Visitor(server.address), token, room, end, waits, number))
        for number, (token, room) in enumerate(zip(tokens, rooms, strict=True))
    ]
    people += [
        threading.Thread(target=consultant, args=(Visitor(server.address), name, theirs[number], end, waits, number))
        for number, name in enumerate(names)
    ]
    for person in people:
        person.start()
    for person in people:
        person.join()
    peak = most.stop()
    print(f"{householders} householders and {consultants} consultants, {seconds:.0f} s, on the same cores as they")
    print(waits.table(90, 99))
    left = _after(server, names[0])
    print(f"server and workers: {before:.0f} MB before, {peak:.0f} at the most, {left:.0f} once everybody has gone")
    for room, shas in warm.kept.items():
        waits.kept[room] |= shas
    faults = [*warm.faults, *waits.faults, *lost(desk, waits)]
    print(waits.told())
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


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
