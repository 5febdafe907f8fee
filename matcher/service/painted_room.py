"""The room's picture with every paint of a scheme in its place, as far as the areas are outlined and measured."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from matcher.recall import Recall

if TYPE_CHECKING:
    from collections.abc import Mapping

    from matcher.service.desk import Desk
    from matcher.service.records import StoredRoom

# Assumption: a scheme and its alternatives, of the rooms that are open at a time; 0.2 MB each.
_pictures = Recall(48)


@dataclass(frozen=True, slots=True)
class PaintedRoom:
    """``picture`` is a JPEG, upright, sRGB. The roles asked for are either ``painted``, or in it as they are:
    ``unmeasured``, because nothing tells how light their paint is now, or ``not_outlined``.
    """

    picture: bytes
    painted: tuple[str, ...]
    unmeasured: tuple[str, ...]
    not_outlined: tuple[str, ...]


def paint_room(desk: Desk, room: StoredRoom, paints: Mapping[str, str]) -> PaintedRoom | None:
    """Return the room with the paints (codes by role) on it, no guesses among them; None where no role can be painted.

    Raises :class:`matcher.errors.GivensError` for a paint the deck does not have, and where no card tells the light.
    """
    from matcher.service.live import deck_of, version_of

    deck = deck_of(desk)
    key = (version_of(room), deck.sha256, tuple(sorted(paints.items())))
    return _pictures.of(key, lambda: _paint(desk, room, paints))


def room_as_it_is(desk: Desk, room: StoredRoom) -> bytes | None:
    """Return the picture that would be repainted as it is, at the same size; None where it is not known which."""
    from matcher.service.repainting import PREVIEW_SIDE
    from matcher.service.room_photos import display_jpeg
    from matcher.service.showing import repaintable

    shown = repaintable(room)
    return None if shown is None else display_jpeg(desk, room.id, shown.sha, longest_side=PREVIEW_SIDE)


def _paint(desk: Desk, room: StoredRoom, paints: Mapping[str, str]) -> PaintedRoom | None:
    from matcher.description.asked import find_paints
    from matcher.photo.display import to_srgb
    from matcher.photo.pixels import as_eight_bits
    from matcher.repaint.together import apply_together
    from matcher.report.output import picture_file
    from matcher.service.live import deck_of
    from matcher.service.showing import prepared_area, repaintable

    shown = repaintable(room)
    if shown is None:
        return None
    deck = deck_of(desk)
    outlined = {role: prepared_area(desk, room, role) for role in paints if role in shown.roles}
    areas = [
        (area, deck.lab[find_paints(deck, [paints[role]])[0]]) for role, area in outlined.items() if area.old.measured
    ]
    if not areas:
        return None
    pixels = to_srgb(as_eight_bits(apply_together(areas)), areas[0][0].colour_space)
    return PaintedRoom(
        picture=picture_file(pixels, "JPEG"),
        painted=tuple(role for role, area in outlined.items() if area.old.measured),
        unmeasured=tuple(role for role, area in outlined.items() if not area.old.measured),
        not_outlined=tuple(role for role in paints if role not in outlined),
    )
