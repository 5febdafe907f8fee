"""A room's zip as the program writes it, in memory."""

from __future__ import annotations

import io
from typing import Any

from matcher.service.archive import write_room
from matcher.service.desk import Desk
from matcher.store.stored import User


def zipped_room(desk: Desk, user: User, room_id: str, *, result: dict[str, Any] | None = None) -> bytes:
    """Return what :func:`write_room` writes."""
    stream = io.BytesIO()
    write_room(desk, user, room_id, stream, result=result)
    return stream.getvalue()
