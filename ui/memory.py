"""Memory given back when visitors leave: the GNU allocator keeps what it has, and a heap for every few threads.

mallopt(3), malloc_trim(3); elsewhere nothing is done.
"""

from __future__ import annotations

import ctypes
import gc
import sys

_ARENA_MAX = -8  # M_ARENA_MAX in malloc.h
# Assumption: two for the threads that serve pages; one for each of dozens, as is usual, held 170 MB more after a crowd.
_ARENAS = 2


def keep_few_heaps() -> None:
    """Have all threads that begin from now on share a few heaps."""
    if sys.platform == "linux":
        mallopt = getattr(ctypes.CDLL(None), "mallopt", None)
        if mallopt is not None:
            mallopt(_ARENA_MAX, _ARENAS)


def keep_what_is_loaded() -> None:
    """Look for garbage no more in what is in memory now: libraries, as long as no visitor is there, whose session would
    stay too. To go through them keeps everybody waiting each time that somebody leaves.
    """
    gc.freeze()


def give_back() -> None:
    """Return to the system what lies free in the heaps; sessions that ended hold on to themselves until collected."""
    gc.collect()
    if sys.platform == "linux":
        trim = getattr(ctypes.CDLL(None), "malloc_trim", None)
        if trim is not None:
            trim(0)
