"""Jobs for a worker that end well, or badly."""

from __future__ import annotations

import os
import signal
import time

import numpy as np
from numpy.typing import NDArray

from matcher.errors import PhotoError, Problem


def doubled(number: int) -> int:
    """A job that ends well."""
    return 2 * number


def picture(side: int) -> NDArray[np.uint8]:
    """A job with a large answer."""
    return np.full((side, side, 3), 7, np.uint8)


def where() -> tuple[str, int]:
    """The folder a relative name is looked up in, and who looks."""
    return os.getcwd(), os.getpid()


def refused(name: str) -> None:
    """A job that says what is wrong, twice."""
    raise PhotoError(Problem(name, "is grey", "Use another."), Problem(name, "is small"))


def killed(after_s: float, number: int) -> None:
    """A job whose decoder crashes."""
    time.sleep(after_s)
    os.kill(os.getpid(), number)


def dead(answer: object) -> None:
    """A sequel that crashes."""
    killed(0.0, signal.SIGSEGV)


def slept(seconds: float) -> float:
    """A job that waits."""
    time.sleep(seconds)
    return seconds


def busy(seconds: float) -> None:
    """A job that computes, and hears of nothing meanwhile."""
    signal.signal(signal.SIGTERM, signal.SIG_IGN)
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        pass


def filled(size: int) -> int:
    """A job that takes memory, in bytes."""
    return int(np.ones(size, np.uint8).sum())


def wrong() -> None:
    """A job with a mistake in it."""
    raise ZeroDivisionError


def descriptors() -> list[str]:
    """What files, pipes and sockets this process has open."""
    here = "/proc/self/fd"
    return [os.readlink(f"{here}/{name}") for name in os.listdir(here) if os.path.lexists(f"{here}/{name}")]


def crashing(path: object, memory: int, longest_side: int) -> None:
    """In place of decoding a photo: a crash."""
    killed(0.0, signal.SIGSEGV)


def filling(path: object, memory: int, longest_side: int) -> int:
    """In place of decoding a photo: twice the memory that it may take."""
    return filled(2 * memory)


def endless(path: object, memory: int, longest_side: int) -> None:
    """In place of decoding a photo: no end."""
    busy(60)
