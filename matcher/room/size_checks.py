"""What the sizes of a room have to be to each other: walls given in one way, and some left beside openings."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from matcher.errors import Problem

_BOX = ("length", "width", "height")
# Keys that give an area or a running length by themselves.
_OWN = ("walls", "trim", "ceiling", "cabinets", "island", "accent", "door")
_ONE_WAY = "Give walls, or length, width and height."


def size_problems(sizes: Mapping[str, Any]) -> Iterator[Problem]:
    """Yield every problem between the keys of [sizes]; what a key is by itself is said elsewhere."""
    given = {key: value for key, value in sizes.items() if _is_size(value)}
    said = {key for key, value in sizes.items() if value is not None}
    box = [key for key in _BOX if key in said]
    # Beside walls, length and width tell the ceiling.
    needed = _BOX[:2] if "walls" in said else _BOX
    missing = [key for key in needed if key not in said]
    if "walls" in said and "height" in said:
        yield Problem("sizes.walls", f"is given beside {_listed(box)}: the walls are there in two ways", _ONE_WAY)
    elif box and missing:
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
    if "walls" in given:
        walls = given["walls"]
    elif all(key in given for key in _BOX):
        walls = 2 * (given["length"] + given["width"]) * given["height"]
    else:
        return
    if openings >= walls:
        yield Problem(
            "sizes.openings",
            f"{openings:g} is no less than the {walls:g} of the walls, so nothing is left to paint",
            "Give openings and walls in the same square units; openings are the windows and doors in these walls.",
        )


def _is_size(value: object) -> bool:
    return type(value) in (int, float) and value > 0  # type: ignore[operator]  # a number, by the first half


def _listed(keys: list[str]) -> str:
    *most, last = keys
    return f"{', '.join(most)} and {last}" if most else last
