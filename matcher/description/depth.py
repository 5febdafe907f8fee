"""Light or deep: what the light reflectance value of a paint means to somebody who has never heard of it."""

from __future__ import annotations

from typing import Literal

Depth = Literal["near black", "deep", "mid to deep", "mid", "light to mid", "light", "nearly white", "white"]

# LRV points up to which each word is used. Common practice, no source; near black ends with ISCC-NBS black (Kelly &
# Judd 1976: Munsell value 2.5, LRV 4.6).
DEPTHS: tuple[tuple[float, Depth], ...] = (
    (4.6, "near black"),
    (20.0, "deep"),
    (35.0, "mid to deep"),
    (54.0, "mid"),
    (64.0, "light to mid"),
    (76.0, "light"),
    (84.0, "nearly white"),
    (101.0, "white"),
)


def depth_of(lrv: float) -> Depth:
    """Return the word for an LRV of 0..100.

    >>> depth_of(50.0), depth_of(9.0), depth_of(92.0)
    ('mid', 'deep', 'white')
    """
    return next(word for limit, word in DEPTHS if lrv < limit)
