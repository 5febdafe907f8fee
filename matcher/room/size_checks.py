"""What the sizes of a room have to be to each other: whole ways to give walls, and some wall left beside openings."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from matcher.errors import Problem

_BOX = ("length", "width", "height")
# Keys that give an area or a running length by themselves.
_OWN = ("walls", "trim", "ceiling", "cabinets", "island", "accent", "door")
_LARGEST = 1e9
_ONE_WAY = "Give walls, or length, width and height."


def size_problems(sizes: Mapping[str, Any]) -> Iterator[Problem]:
    """Yield every problem between the keys of [sizes]; what a key is by itself is said elsewhere."""
    given = {key: value for key, value in sizes.items() if _is_size(value)}
    said = {key for key, value in sizes.items() if value is not None}
    box = [key for key in _BOX if key in said]
    # Beside walls, length and width tell the ceiling.
    needed = _BOX[:2] if "walls" in said else _BOX
    missing = [key for key in needed if key not in said]
    if box and missing:
        yield Problem(
            f"sizes.{missing[0]}", f"is missing beside {_listed(box)}", f"Add {_listed(missing)}, or give walls."
        )
    elif not box and not any(key in said for key in _OWN):
        yield Problem("sizes", "gives no area", f"{_ONE_WAY} Any other role may have its own area.")
    elif "openings" in given and not box and "walls" not in said:
        yield Problem("sizes.openings", "are given without walls to take them off", _ONE_WAY)
    yield from _too_open(given)


def _too_open(given: Mapping[str, float]) -> Iterator[Problem]:
    openings = given.get("openings", 0)
    gross = 2 * (given["length"] + given["width"]) * given["height"] if all(key in given for key in _BOX) else None
    own = given.get("walls")
    if own is not None and gross is not None and own > gross:
        yield Problem(
            "sizes.walls",
            f"{own:g} is more than the {gross:g} that length, width and height make",
            _ONE_WAY,
        )
    walls = gross if gross is not None else own
    if walls is not None and openings >= walls:
        yield Problem(
            "sizes.openings",
            f"{openings:g} is no less than the {walls:g} of the walls",
            "Give openings and walls in the same square units; openings are the windows and doors in these walls.",
        )


def _is_size(value: object) -> bool:
    # What is beyond any room is said by the check of its key.
    return type(value) in (int, float) and 0 < value <= _LARGEST  # type: ignore[operator]  # a number, by the first half


def _listed(keys: list[str]) -> str:
    *most, last = keys
    return f"{', '.join(most)} and {last}" if most else last
