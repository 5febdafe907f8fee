"""Which program this is, told by its source: what another one ranked is ranked again."""

from __future__ import annotations

import hashlib
from functools import cache


@cache
def program_version() -> str:
    """Return a hash (hex, 64 letters) of all source that ranking a room goes through."""
    from matcher.surfaces.version import LIBRARIES, hash_of_source, measurement_version

    ranking = hash_of_source(("light", "paints", "ranking", "scheme", "advice", "service"), LIBRARIES)
    return hashlib.sha256(f"{measurement_version()}{ranking}".encode()).hexdigest()
