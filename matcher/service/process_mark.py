"""A mark of this process by which another one of the same machine can tell that it is gone, killed without a word.

What Linux tells in ``/proc`` is enough (man 5 proc): which boot, which namespace of process numbers (a container's),
and when a number was given. Elsewhere, and from another machine, nothing is known, and silence has to tell.
"""

from __future__ import annotations

import os
import secrets
from hashlib import sha256
from pathlib import Path

_PROC = Path("/proc")
# Of man 5 proc, /proc/pid/stat, counted from after the name in brackets: what state it is in, and since when it runs.
_STATE, _START = 0, 19
_ENDED = frozenset("ZXx")
# Hex digits of the machine, the process and when it began; as many again tell marks of one process apart.
_MACHINE, _NUMBER, _BEGUN = 16, 8, 16


def mark() -> str:
    """Return 64 hex digits that no other process has; another call in this one has others."""
    machine, begun = _machine(), _begun(os.getpid())
    if machine is None or begun is None:
        return secrets.token_hex(32)
    return f"{machine}{os.getpid():0{_NUMBER}x}{begun:0{_BEGUN}x}{secrets.token_hex(12)}"


def is_gone(other: str) -> bool:
    """Tell whether the process of a mark is known to be no more: False where that cannot be told."""
    machine, rest = other[:_MACHINE], other[_MACHINE:]
    number, begun = rest[:_NUMBER], rest[_NUMBER : _NUMBER + _BEGUN]
    return len(other) == 64 and machine == _machine() and _begun(int(number, 16)) != int(begun, 16)


def _machine() -> str | None:
    try:
        boot = (_PROC / "sys/kernel/random/boot_id").read_text()
        return sha256(f"{boot}{(_PROC / 'self/ns/pid').stat().st_ino}".encode()).hexdigest()[:_MACHINE]
    except OSError:
        return None


def _begun(number: int) -> int | None:
    """When a process began, in ticks since the machine did; None where there is none, or it has ended."""
    try:
        words = (_PROC / str(number) / "stat").read_text(errors="replace").rpartition(")")[2].split()
    except OSError:
        return None
    return None if words[_STATE] in _ENDED else int(words[_START])
