"""A surface that nothing could read."""

from __future__ import annotations

from dataclasses import dataclass

from matcher.errors import Problem


@dataclass(frozen=True, slots=True)
class Unread:
    """The ``photo`` (file) that shows the surface, and the ``problem`` it has there."""

    name: str
    photo: str
    problem: Problem
