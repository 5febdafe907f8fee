"""Saving a room so that nobody's work is overwritten."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from matcher.errors import AwayError, ConflictError
from matcher.service import desk
from ui import words
from ui.messages import show_error, show_note

if TYPE_CHECKING:
    from matcher.service.records import StoredRoom
    from ui.state import Visit


def save(visit: Visit, room: StoredRoom, document: dict[str, Any]) -> bool:
    """Save ``document`` over the room as it was read; tell, and return False, where someone was quicker or the database
    does not answer.
    """
    try:
        desk.save_document(visit.desk, visit.user, room.id, document, revision=room.revision)
    except ConflictError:
        show_note(words.CONFLICT)
        return False
    except AwayError as error:
        show_error(error)
        return False
    return True
