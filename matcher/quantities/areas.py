"""What is to be painted of a room, from the sizes in its file: square metres by role."""

from __future__ import annotations

from collections.abc import Iterator

from matcher.errors import RoomFileError
from matcher.quantities.quantity import Area
from matcher.quantities.units import METRES_PER_FOOT
from matcher.room.contents import Sizes
from matcher.room.size_checks import size_problems

# Half a foot of face to a running foot of skirting or architrave, as do-it-yourself guidance reckons mouldings
# (several lay pages agree on it; none is a standard).
MOULDING_WIDTH_M = METRES_PER_FOOT / 2
_OWN = ("ceiling", "cabinets", "island", "accent", "door")


def areas_of(sizes: Sizes) -> dict[str, Area]:
    """Return the area of every role that the sizes tell, by role.

    Walls of their own are what is painted, like every role's own area; openings come off those that length, width and
    height make. An accent wall is counted beside the walls: which of them it is, the sizes do not say. Raises
    :class:`matcher.errors.RoomFileError` where the keys contradict each other or give no area.
    """
    problems = list(size_problems(sizes.model_dump()))
    if problems:
        raise RoomFileError(*problems)
    return {area.role: area for area in _areas(sizes)}


def _areas(sizes: Sizes) -> Iterator[Area]:
    metres = METRES_PER_FOOT if sizes.units == "feet" else 1.0
    square = metres**2
    if sizes.walls is not None:
        yield Area("walls", sizes.walls * square, sizes.walls * square, 0.0, "given")
    elif sizes.length and sizes.width and sizes.height:
        gross, openings = 2 * (sizes.length + sizes.width) * sizes.height * square, sizes.openings * square
        yield Area("walls", gross - openings, gross, openings, "room")
    if sizes.trim is not None:
        face = sizes.trim * metres * MOULDING_WIDTH_M
        yield Area("trim", face, face, 0.0, "running")
    if sizes.ceiling is None and sizes.length and sizes.width:
        flat = sizes.length * sizes.width * square
        yield Area("ceiling", flat, flat, 0.0, "room")
    for role in _OWN:
        own = getattr(sizes, role)
        if own is not None:
            yield Area(role, own * square, own * square, 0.0, "given")
