"""A visitor whose server may die at any moment: goes on as a browser and a person do, and notes what they saw of it."""

from __future__ import annotations

import http.client
import threading
import time
from typing import Any

from websockets.exceptions import WebSocketException

from tests.soak.visitor import Visitor

# As in ui/choosing/choosing.js, of a file; a person looks twice at a page that did not come.
_SEND_PAUSES = (1, 3, 6, 12, 24)
_LOOK_PAUSES = (1, 2, 4, 8, 16)
# Assumption: whoever has looked at a page that is not connected for as long tells others of it.
_GIVEN_UP_S = 60.0
_BROKEN = (502, 503, 504)


class Breaks:
    """How often a connection ``broke`` and went on by itself, and a page or picture had to be asked for ``again``."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self.broke = self.again = 0

    def note(self, *, broke: int = 0, again: int = 0) -> None:
        """Count."""
        with self._lock:
            self.broke += broke
            self.again += again


class PatientVisitor(Visitor):
    """A visitor who goes on."""

    def __init__(self, address: str, breaks: Breaks) -> None:
        super().__init__(address)
        self._breaks = breaks

    def ask(self, path: str, data: bytes | None = None, **headers: str) -> tuple[int, bytes, Any]:
        """Ask, and again where the answer did not come."""
        sends = data is not None
        for pause in (*(_SEND_PAUSES if sends else _LOOK_PAUSES), None):
            try:
                answer = super().ask(path, data, **headers)
            except (OSError, http.client.HTTPException):
                if pause is None:
                    raise
            else:
                if answer[0] not in _BROKEN or pause is None:
                    return answer
            self._breaks.note(broke=int(sends), again=int(not sends))
            time.sleep(pause)
        raise AssertionError("the last one answers or raises")

    def run(self, pressed: str = "") -> str:
        """Run the page, where the socket broke on another one: first as it stands, then what was pressed once more."""
        begun = time.monotonic()
        while True:
            try:
                if pressed and self._socket is None:
                    super().run()
                found = super().run(pressed)
            except (OSError, WebSocketException, EOFError):
                self.drop()
                if time.monotonic() - begun > _GIVEN_UP_S:
                    raise
                self._breaks.note(broke=1)
                time.sleep(0.5)
            else:
                return found
