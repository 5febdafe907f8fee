"""The files of a hand-over as the app gives them out: made once for a room as it stands, and what each is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from matcher.recall import Recall
from matcher.service.handover import CLIENT_FILE as CLIENT_FILE
from matcher.service.handover import SCHEDULE_FILE as SCHEDULE_FILE

if TYPE_CHECKING:
    from collections.abc import Mapping

    from matcher.service.desk import Desk
    from matcher.service.records import StoredRoom

# What every file is, by its name (IANA media types; a GIMP palette has none of its own).
MEDIA_TYPES = {
    CLIENT_FILE: "application/pdf",
    SCHEDULE_FILE: "application/pdf",
    "schedule.csv": "text/csv; charset=utf-8",
    "swatches.csv": "text/csv; charset=utf-8",
    "swatches.css": "text/css; charset=utf-8",
    "swatches.gpl": "text/plain; charset=utf-8",
}
# Assumption: a few rooms are handed over at a time; half a megabyte each.
_made = Recall(6)


def handed_files(desk: Desk, room: StoredRoom) -> Mapping[str, bytes]:
    """Return the files of the room as it stands now, by name: made when one is first asked for.

    Raises :class:`matcher.errors.GivensError` while nothing is measured, and for a letterhead that cannot be read.
    """
    from matcher.service.handover import handover_of_stored, letterhead_of
    from matcher.service.live import deck_of, scheme_version_of

    # The letterhead is read anew each time: its day goes on, and its mark may be another file.
    key = (scheme_version_of(desk, room), deck_of(desk).sha256, letterhead_of(desk.settings), desk.settings.paper)
    return _made.of(key, lambda: handover_of_stored(desk, room).files)


def check_letterhead(desk: Desk) -> None:
    """Raise :class:`matcher.errors.RequestError` for a letterhead that cannot be read, which stops every hand-over."""
    from matcher.service.handover import letterhead_of

    letterhead_of(desk.settings)
