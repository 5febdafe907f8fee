"""Copies of photos kept far away, for readers that need a path: this process's own, bounded in bytes and in age.

Photos are private, and another server may remove one: no copy outlasts :data:`LASTS_S`, whoever forgot the photo.
"""

from __future__ import annotations

import os
import time
from collections import OrderedDict
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from threading import Lock, RLock, Timer

from matcher.store.arriving_file import disk_worded
from matcher.store.workspace import Workspace

# Assumptions: as long as somebody looks at a photo, marks it and has it measured; some two hundred photos of a phone.
LASTS_S = 600.0
MOST_BYTES = 1_000_000_000
# Who brings a copy, and who waits for it: two photos share a turn now and then, which costs a wait and nothing else.
_TURNS = 16
_READ_ON_S = 1.0  # how soon a copy is looked at again that is too old and still being read


@dataclass(slots=True)
class _Copy:
    size: int
    until: float
    readers: int = 0


class NearCopies:
    """Files of a workspace under names that stay the same; ``bring`` writes the one of a name to a path, or raises."""

    def __init__(self, workspace: Workspace, bring: Callable[[str, Path], None]) -> None:
        self._workspace = workspace
        self._bring = bring
        self._copies: OrderedDict[str, _Copy] = OrderedDict()
        self._lock = RLock()
        self._turns = tuple(Lock() for _ in range(_TURNS))
        self._timer: Timer | None = None

    def path(self, name: str) -> Path:
        """Return where the copy lies while somebody reads it; raises OSError."""
        return self._workspace.named(name)

    @contextmanager
    def read(self, name: str) -> Iterator[None]:
        """Have the copy in its place until the end; raises StoreError and what ``bring`` raises."""
        with disk_worded():
            copy = self._held(name)
            if copy is None:
                with self._turns[hash(name) % _TURNS]:
                    copy = self._held(name) or self._fetched(name)
        try:
            yield
        finally:
            with self._lock:
                copy.readers -= 1
            self.tidy()

    def take(self, source: Path, name: str) -> None:
        """Let a file that is here anyway be the copy of a name, where the disk knows links; it must not change."""
        with suppress(OSError), self._lock:
            if name not in self._copies:
                os.link(source, self.path(name))
                self._add(name)
                self.tidy()

    def drop(self, name: str) -> None:
        """Remove a copy; who has it open reads on."""
        with self._lock:
            self._copies.pop(name, None)
            with suppress(OSError):
                self.path(name).unlink(missing_ok=True)

    def tidy(self) -> None:
        """Remove what is too old or too much, least lately read first; never what is being read."""
        now = time.monotonic()
        with self._lock:
            total = sum(copy.size for copy in self._copies.values())
            for name, copy in list(self._copies.items()):
                if not copy.readers and (copy.until <= now or total > MOST_BYTES):
                    self.drop(name)
                    total -= copy.size
            self._wake_later(now)

    def close(self) -> None:
        """Look after nothing any more; the files go with the workspace."""
        with self._lock:
            self._copies.clear()
            self._wake_later(0.0)

    def _held(self, name: str) -> _Copy | None:
        """Return the copy, one more reader counted, or None where it is not here."""
        with self._lock:
            copy = self._copies.get(name)
            if copy is None or not self.path(name).exists():
                return None
            self._copies.move_to_end(name)
            copy.readers += 1
            return copy

    def _fetched(self, name: str) -> _Copy:
        """Bring the copy and return it with its first reader counted."""
        path = self._workspace.new_path()
        try:
            self._bring(name, path)
            with self._lock:
                os.replace(path, self.path(name))
                copy = self._add(name)
                copy.readers += 1
        finally:
            path.unlink(missing_ok=True)
        self.tidy()
        return copy

    def _add(self, name: str) -> _Copy:
        copy = _Copy(self.path(name).stat().st_size, time.monotonic() + LASTS_S)
        self._copies[name] = copy
        return copy

    def _wake_later(self, now: float) -> None:
        """Have the oldest copy looked at when its time is up, also where nobody asks for anything any more."""
        if not self._copies:
            if self._timer is not None:
                self._timer.cancel()
            self._timer = None
        elif self._timer is None:
            wait = min(copy.until for copy in self._copies.values()) - now
            self._timer = Timer(max(wait, _READ_ON_S), self._wake)
            self._timer.daemon = True
            self._timer.start()

    def _wake(self) -> None:
        with self._lock:
            self._timer = None
            self.tidy()
