"""The first repaint of a room is made ready while somebody looks at something else.

One thread in the background, one room at a time, and only once nobody has asked for a moment: while outlines are being
drawn every one of them asks anew. What it makes is kept where a repaint that is asked for looks first.
"""

from __future__ import annotations

import atexit
import time
from collections import OrderedDict
from operator import itemgetter
from threading import Condition, Thread
from typing import TYPE_CHECKING

from matcher.errors import GivensError

if TYPE_CHECKING:
    from matcher.service.desk import Desk
    from matcher.service.records import StoredRoom

# Assumptions: how long nothing more is asked of a room before its turn comes, while paints are looked at and while
# outlines are drawn, each of which makes what was prepared before it worthless; rooms that wait at a time, which cost
# no memory before their turn; roles prepared of one, half of what is kept.
LOOKING_S, STILL_MARKING_S = 0.5, 4.0
_MOST_ROOMS, _MOST_ROLES = 4, 4
_LONGEST_S = 10.0  # assumption: no role of a picture takes as long


class Ahead:
    """Rooms waiting to be made ready, the latest state of each."""

    def __init__(self) -> None:
        self._waiting: OrderedDict[str, tuple[float, Desk, StoredRoom]] = OrderedDict()
        self._changed = Condition()
        self._thread: Thread | None = None
        self._busy = False

    def ask(self, desk: Desk, room: StoredRoom, after_s: float) -> None:
        """Make the room's roles ready once nothing more was asked of it for ``after_s`` seconds; returns at once."""
        with self._changed:
            self._waiting.pop(room.id, None)
            self._waiting[room.id] = (time.monotonic() + after_s, desk, room)
            while len(self._waiting) > _MOST_ROOMS:
                self._waiting.popitem(last=False)
            if self._thread is None or not self._thread.is_alive():
                # A daemon: nothing that a repaint could not make again is lost with it.
                self._thread = Thread(target=self._work, name="repaint-ahead", daemon=True)
                self._thread.start()
            self._changed.notify_all()

    def wait(self, timeout_s: float) -> bool:
        """Wait until nothing is left to do; return whether that came within ``timeout_s``."""
        with self._changed:
            return self._changed.wait_for(lambda: not (self._waiting or self._busy), timeout_s)

    def stop(self, timeout_s: float) -> bool:
        """Drop what has not begun and wait for what has; return whether that ended within ``timeout_s``."""
        with self._changed:
            self._waiting.clear()
        return self.wait(timeout_s)

    def _work(self) -> None:
        while True:
            desk, room = self._next()
            try:
                prepare_room(desk, room)
            finally:
                with self._changed:
                    self._busy = False
                    self._changed.notify_all()

    def _next(self) -> tuple[Desk, StoredRoom]:
        with self._changed:
            while True:
                if not self._waiting:
                    self._changed.wait()
                    continue
                due, desk, room = min(self._waiting.values(), key=itemgetter(0))
                left = due - time.monotonic()
                if left <= 0:
                    del self._waiting[room.id]
                    self._busy = True
                    return desk, room
                self._changed.wait(left)


def prepare_room(desk: Desk, room: StoredRoom) -> None:
    """Make every outlined role of the room's picture ready, and read the rooms seen from it, which its scheme asks for.

    What stands in the way is told to whoever repaints it, or looks at the scheme.
    """
    from matcher.service import showing
    from matcher.service.doorways import read_rooms

    try:
        read_rooms(desk, room)
        shown = showing.repaintable(room)
        for role in shown.roles[:_MOST_ROLES] if shown else ():
            showing.prepared_role(desk, room, role)
    except GivensError:
        return


_ahead = Ahead()
# A process that ends while a picture is being made would end in the middle of a library's own threads.
atexit.register(_ahead.stop, _LONGEST_S)


def prepare_ahead(desk: Desk, room: StoredRoom, *, after_s: float = LOOKING_S) -> None:
    """Make the room's picture ready to be repainted, in the background, ``after_s`` seconds from now; returns at once.

    What was asked of the same room before and has not begun is dropped.
    """
    _ahead.ask(desk, room, after_s)


def wait_until_prepared(timeout_s: float) -> bool:
    """Wait until nothing is left to prepare; return whether that came within ``timeout_s``."""
    return _ahead.wait(timeout_s)
