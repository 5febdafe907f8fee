"""What has been read before: a changed outline re-reads its own surface and nothing else."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable
from threading import Lock
from typing import Any, TypeVar

T = TypeVar("T")


class Recall:
    """The latest ``most`` things made, by key; safe to share between threads.

    What raises is not kept. Two threads that ask for the same new key at once may both make it.
    """

    def __init__(self, most: int) -> None:
        self._most = most
        self._kept: OrderedDict[Hashable, Any] = OrderedDict()
        self._lock = Lock()

    def of(self, key: Hashable, make: Callable[[], T]) -> T:
        """Return what ``make`` gave for ``key`` before, or make it now."""
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
                kept: T = self._kept[key]
                return kept
        made = make()
        with self._lock:
            self._kept[key] = made
            while len(self._kept) > self._most:
                self._kept.popitem(last=False)
        return made

    def forget(self, key: Hashable) -> None:
        """Make it anew when it is asked for next."""
        with self._lock:
            self._kept.pop(key, None)
