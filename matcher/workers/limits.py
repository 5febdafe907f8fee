"""How much memory and time one job may take, and how a process holds itself to it."""

from __future__ import annotations

import math
import os
import sys
from dataclasses import dataclass
from pathlib import Path

_STATM = Path("/proc/self/statm")  # proc(5): sizes in pages; the sixth is data and stack
_DATA_FIELD = 5
_GRACE_S = 2  # of processor time above the limit of wall-clock time, which the parent minds


@dataclass(frozen=True, slots=True)
class Allowance:
    """``memory`` in bytes above what the worker has when the job starts, ``seconds`` by the clock."""

    memory: int
    seconds: float


def hold_to(allowance: Allowance) -> None:
    """Let this process allocate and compute no more than ``allowance`` from here on.

    Memory is bounded on Linux alone: other systems do not keep to the limit of data. The limit of processor time is
    what ends a worker whose parent was killed in the middle of a job.
    """
    if sys.platform == "win32":  # has no such limits; the parent still minds the clock
        return
    import resource

    used = resource.getrusage(resource.RUSAGE_SELF)
    seconds = math.ceil(used.ru_utime + used.ru_stime + allowance.seconds + _GRACE_S)
    resource.setrlimit(resource.RLIMIT_CPU, (seconds, resource.getrlimit(resource.RLIMIT_CPU)[1]))
    if _STATM.exists():
        now = int(_STATM.read_text().split()[_DATA_FIELD]) * os.sysconf("SC_PAGE_SIZE")
        hard = resource.getrlimit(resource.RLIMIT_DATA)[1]
        wanted = now + allowance.memory
        resource.setrlimit(resource.RLIMIT_DATA, (wanted if hard < 0 else min(wanted, hard), hard))


def leave_no_core() -> None:
    """Write no image of memory to disk when this process crashes: it would hold somebody's photo."""
    if sys.platform != "win32":
        import resource

        resource.setrlimit(resource.RLIMIT_CORE, (0, resource.getrlimit(resource.RLIMIT_CORE)[1]))
