"""Saying again and again that somebody is there, in a thread beside what they do."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from threading import Event, Thread

from matcher.errors import StoreError


@contextmanager
def beating(say: Callable[[], None], every_s: float) -> Iterator[None]:
    """Call ``say`` at once and then every so many seconds, until the block ends."""
    over = Event()

    def beat() -> None:
        while True:
            # A store that cannot be written now may be in a second.
            with suppress(StoreError):
                say()
            if over.wait(every_s):
                return

    telling = Thread(target=beat, name="heartbeat", daemon=True)
    telling.start()
    try:
        yield
    finally:
        over.set()
        telling.join()
