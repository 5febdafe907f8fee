"""Which surfaces of a room have nothing but a guess to go by: no photo that shows them has a neutral reference."""

from __future__ import annotations

from collections.abc import Iterable

from matcher.room.contents import PhotoEntry, RoomFile


def without_card(room: RoomFile) -> frozenset[str]:
    """Return the names of surfaces that are in no photo with a reference and that no instrument read.

    Others are left out of photos without a reference: a guess would add nothing to what is measured.
    """
    better = {surface.name for surface in room.surfaces} | _names(p for p in room.photos if p.references)
    return frozenset(_names(room.photos) - better)


def _names(photos: Iterable[PhotoEntry]) -> set[str]:
    return {surface.name for photo in photos for surface in photo.surfaces}
