"""Saying again and again that somebody is there, in a thread beside what they do."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from threading import Event, Thread

from matcher.errors import StoreError


@contextmanager
def beating(say: Callable[[], None], every_s: float) -> Iterator[None]:
    """Call ``say`` every so many seconds until the block ends."""
    over = Event()

    def beat() -> None:
        while not over.wait(every_s):
            # A store that cannot be written now may be at the next beat.
            with suppress(StoreError):
                say()

    telling = Thread(target=beat, name="heartbeat", daemon=True)
    telling.start()
    try:
        yield
    finally:
        over.set()
        telling.join()
