"""The first repaint of a room is made ready while somebody looks at something else.

One thread in the background, one room at a time, and only once nobody has asked for a moment: while outlines are being
drawn every one of them asks anew. What it makes is kept where a repaint that is asked for looks first.
"""

from __future__ import annotations

import time
from collections import OrderedDict
from threading import Condition, Thread
from typing import TYPE_CHECKING

from matcher.errors import GivensError

if TYPE_CHECKING:
    from matcher.service.desk import Desk
    from matcher.service.records import StoredRoom

# Assumptions: how long nothing more is asked of a room before its turn comes; rooms that wait at a time, of which each
# needs no memory before its turn; roles prepared of one, half of what is kept.
_QUIET_S = 1.5
_MOST_ROOMS, _MOST_ROLES = 4, 4


class Ahead:
    """Rooms waiting to be made ready, the latest state of each."""

    def __init__(self, quiet_s: float = _QUIET_S) -> None:
        self._quiet_s = quiet_s
        self._waiting: OrderedDict[str, tuple[float, Desk, StoredRoom]] = OrderedDict()
        self._changed = Condition()
        self._thread: Thread | None = None
        self._busy = False

    def ask(self, desk: Desk, room: StoredRoom) -> None:
        """Make the room's roles ready soon; returns at once."""
        with self._changed:
            self._waiting.pop(room.id, None)
            self._waiting[room.id] = (time.monotonic() + self._quiet_s, desk, room)
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
                due, desk, room = next(iter(self._waiting.values()))
                left = due - time.monotonic()
                if left <= 0:
                    del self._waiting[room.id]
                    self._busy = True
                    return desk, room
                self._changed.wait(left)


def prepare_room(desk: Desk, room: StoredRoom) -> None:
    """Make every outlined role of the room's picture ready. What stands in the way is told to whoever repaints it."""
    from matcher.service import showing

    try:
        shown = showing.repaintable(room)
        for role in shown.roles[:_MOST_ROLES] if shown else ():
            showing.prepared_role(desk, room, role)
    except GivensError:
        return


_ahead = Ahead()


def prepare_ahead(desk: Desk, room: StoredRoom) -> None:
    """Make the room's picture ready to be repainted soon, in the background; returns at once."""
    _ahead.ask(desk, room)
