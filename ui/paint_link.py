"""The way to the page of one paint, and back to where one came from."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ui.state import ROOM

if TYPE_CHECKING:
    from matcher.service.records import StoredRoom

PAGE = "pages/paint.py"
# In the address: the paint's code, and the page that leads back.
PAINT, FROM = "paint", "from"


def paint_query(room: StoredRoom, code: str, came: str) -> dict[str, str]:
    """Return the query of the page of a paint, opened from the page ``came``."""
    return {ROOM: room.id, PAINT: code, FROM: came}
