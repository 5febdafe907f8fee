"""The brief's question about rooms seen from this one: which of the consultant's others, and through what."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

from matcher.service import rooms_chosen
from matcher.service.ahead import prepare_ahead
from matcher.service.doorways import beside
from ui import words
from ui.brief_folds import fold

if TYPE_CHECKING:
    from matcher.service.records import StoredRoom
    from ui.keeping import Keeping
    from ui.state import Visit


def ask_rooms_in_view(visit: Visit, keeping: Keeping, room: StoredRoom) -> None:
    """Ask which rooms are seen from this one, and of each what it is seen through, in free words."""
    names = rooms_chosen.offered_rooms(visit.desk, visit.user, room)
    chosen = {rooms_chosen.reference_of(entry): entry for entry in rooms_chosen.entries_of(room.document)}
    there = beside(visit.desk, room, chosen)
    with fold("in-view", room, words.IN_VIEW, rooms_chosen.rooms_line(room.document, names)):
        if not names:
            st.html(f'<p class="g-small g-soft">{words.IN_VIEW_NONE}</p>')
            return
        st.multiselect(
            words.IN_VIEW_CHOOSE, list(names), list(chosen), format_func=names.__getitem__,
            help=words.IN_VIEW_HELP, placeholder=words.IN_VIEW_PLACEHOLDER, **keeping.field("rooms"),
        )  # fmt: skip
        keeping.problems("rooms")
        for reference, entry in chosen.items():
            if reference not in there:
                continue
            st.text_input(
                words.IN_VIEW_THROUGH.format(name=names[reference]), str(entry.get("through") or ""),
                max_chars=rooms_chosen.MOST_THROUGH, placeholder=words.IN_VIEW_THROUGH_EXAMPLE,
                **keeping.field("rooms", reference),
            )  # fmt: skip
            keeping.problems("rooms", reference)
    if chosen:
        # The scheme's page need not wait until their photos are measured.
        prepare_ahead(visit.desk, room)
