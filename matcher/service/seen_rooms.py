"""The rooms seen from a room: each read from its own file, measured by its own photos, asked of the same deck. Those
stored in the browser app are read there (matcher/service/doorways.py).

Only what is seen from the first room is read: the rooms that a seen room names itself are out of view, so that two
rooms may name each other.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from matcher.errors import GivensError, Problem
from matcher.service.asking import question_of
from matcher.service.chips import chip_colours

if TYPE_CHECKING:
    from pathlib import Path

    from matcher.paints.deck import Deck
    from matcher.ranking.paint_columns import Paints
    from matcher.room.contents import RoomFile
    from matcher.scheme.sightlines import SeenRoom


def read_seen_rooms(
    room: RoomFile, folder: Path, deck: Deck, paints: Paints, progress: Callable[[str], None]
) -> tuple[SeenRoom, ...]:
    """Return the rooms seen from ``room``, whose files are relative to ``folder``.

    Raises what reading and measuring one raises, each problem with the entry of [[rooms]] that it comes from.
    """
    found = []
    for index, entry in enumerate(room.rooms):
        if entry.file is None:
            continue
        progress(f"Measuring the room seen from it, {entry.file}")
        try:
            found.append(_seen(entry.file, entry.through or "", folder, deck, paints))
        except GivensError as error:
            named = (Problem(_where(index, problem), problem.what, problem.remedy) for problem in error.problems)
            raise type(error)(*named) from error
    return tuple(found)


def _where(index: int, problem: Problem) -> str:
    return f"rooms[{index}], {problem.where}" if problem.where else f"rooms[{index}]"


def _seen(file: str, through: str, folder: Path, deck: Deck, paints: Paints) -> SeenRoom:
    from matcher.room.archive import unpacked
    from matcher.room.reading import read_room
    from matcher.scheme.sightlines import SeenRoom
    from matcher.surfaces.measure import measure_room

    lies_at = folder / file
    with unpacked(lies_at) as path:
        other = read_room(path, lies_at=lies_at)
        measurement = measure_room(other, paints=partial(chip_colours, other, deck))
    return SeenRoom(file, other.room.name, through, question_of(other, measurement, deck, paints))
