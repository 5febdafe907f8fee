"""The bytes of a file the user named, or one clear message why not: the same for photos, decks and room files."""

from __future__ import annotations

import os
from pathlib import Path
from typing import BinaryIO

from matcher.errors import GivensError, Problem

# Assumption: twice a raw file of the largest cameras there are (about 250 MB).
MOST_BYTES = 500_000_000
_STEP = 1 << 20  # bytes asked for at a time where a file does not say how long it is


def read_bytes(path: Path, error: type[GivensError], wanted: str, in_a_folder: str, *, most: int = MOST_BYTES) -> bytes:
    """Return what ``path`` holds, ``most`` bytes at most, whatever it is: a pipe, a device, a file that grows.

    ``wanted`` completes "is a folder, not ..."; ``in_a_folder`` says what to name instead. Raises ``error``.
    """
    try:
        if path.is_dir():
            raise error(Problem(str(path), f"is a folder, not {wanted}", in_a_folder))
        with path.open("rb") as file:
            size = os.fstat(file.fileno()).st_size
            data = b"" if size > most else _read(file, size, most)
    except FileNotFoundError:
        raise error(Problem(str(path), "there is no such file", "Check the spelling and the folder.")) from None
    except (OSError, ValueError) as cause:
        reason = cause.strerror if isinstance(cause, OSError) and cause.strerror else str(cause)
        what, remedy = f"cannot be opened ({reason})", "Check the name and that you may read it."
        raise error(Problem(str(path), what, remedy)) from cause
    if max(size, len(data)) > most:
        what = f"{more_than(max(size, len(data)), most)} that {wanted} may have"
        raise error(Problem(str(path), what, "Check that it is the right file."))
    return data


def more_than(size: int, most: int) -> str:
    """Return that ``size`` bytes are more than the ``most`` there may be.

    >>> more_than(3_000_000, 2_000_000), more_than(2_000_001, 2_000_000)
    ('is 3 MB, more than the 2 MB', 'is more than the 2 MB')
    """
    shown, limit = in_words(size), in_words(most)
    return f"is more than the {limit}" if shown == limit else f"is {shown}, more than the {limit}"


def in_words(size: int) -> str:
    """Return a number of bytes in the largest unit that leaves something before the point.

    >>> in_words(200_000_000), in_words(64_000)
    ('200 MB', '64 kB')
    """
    for unit, name in ((1_000_000_000, "GB"), (1_000_000, "MB"), (1_000, "kB")):
        if size >= unit:
            return f"{size / unit:.3g} {name}" if size < 100 * unit else f"{size / unit:,.0f} {name}"
    return f"{size} bytes"


def is_file(path: Path) -> bool:
    """Tell whether a file is there; no where the system will not look: a name too long, a folder that is shut."""
    try:
        return path.is_file()
    except (OSError, ValueError):
        return False


def _read(file: BinaryIO, size: int, most: int) -> bytes:
    """Return the rest of ``file``, said to be ``size`` bytes, or its first ``most`` and one more."""
    parts: list[bytes] = []
    left, step = most + 1, max(size + 1, _STEP)
    while left:
        asked = min(step, left)
        part = file.read(asked)
        parts.append(part)
        left -= len(part)
        # Less than was asked for is all there is: asking again would make room for as much once more.
        if len(part) < asked:
            break
    # A single part is not copied.
    return b"".join(parts)
