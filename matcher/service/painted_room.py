"""The room's picture with every paint of a scheme in its place, as far as the areas are outlined and measured."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from matcher.errors import CardError

if TYPE_CHECKING:
    from collections.abc import Mapping

    from matcher.service.desk import Desk
    from matcher.service.records import StoredRoom


@dataclass(frozen=True, slots=True)
class PaintedRoom:
    """``picture`` is a JPEG, upright, sRGB; None where no role can be shown in its paint.

    The roles asked for are either ``painted``, or in it as they are: ``unmeasured``, because nothing tells how light
    their paint is now, or ``not_outlined``.
    """

    picture: bytes | None
    painted: tuple[str, ...]
    unmeasured: tuple[str, ...]
    not_outlined: tuple[str, ...]


def paint_room(desk: Desk, room: StoredRoom, paints: Mapping[str, str]) -> PaintedRoom:
    """Return the room with the paints (codes by role) on it, no guess among them.

    Raises a leaf of :class:`matcher.errors.GivensError` for a paint that the deck does not have.
    """
    from matcher.service.showing import repaintable, repainted_together

    shown = repaintable(room)
    outlined = [role for role in paints if shown is not None and role in shown.roles]
    painted = tuple(role for role in outlined if _is_measured(desk, room, role))
    picture = repainted_together(desk, room, {role: paints[role] for role in painted}).picture if painted else None
    return PaintedRoom(
        picture=picture,
        painted=painted,
        unmeasured=tuple(role for role in outlined if role not in painted),
        not_outlined=tuple(role for role in paints if role not in outlined),
    )


def room_as_it_is(desk: Desk, room: StoredRoom) -> bytes | None:
    """Return the picture that would be repainted as it is, at the same size; None where it is not known which."""
    from matcher.service.repainting import PREVIEW_SIDE
    from matcher.service.room_photos import display_jpeg
    from matcher.service.showing import repaintable

    shown = repaintable(room)
    return None if shown is None else display_jpeg(desk, room.id, shown.sha, longest_side=PREVIEW_SIDE)


def _is_measured(desk: Desk, room: StoredRoom, role: str) -> bool:
    from matcher.service.showing import prepared_role

    try:
        return prepared_role(desk, room, role).old.measured
    except CardError:
        return False
