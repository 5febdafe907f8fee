"""A decoder of photos made ready while something else is done: starting one takes some 0.3 s."""

from __future__ import annotations

from matcher.workers.pool import end_idle, start


def get_ready() -> None:
    """Start a worker that imports what decodes and checks photos; returns at once."""
    start("matcher.photo.from_file", "matcher.photo.quality")


def put_away() -> None:
    """End the decoders that have nothing to do, when nobody is there whom the next one's start would keep waiting."""
    end_idle()
