"""Chips of another edition than the deck in use: said where they are measured, with the way to say otherwise."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

from matcher.service.chip_editions import as_in_use
from ui import words
from ui.messages import show_notes
from ui.saving import save

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matcher.service.records import StoredRoom
    from ui.state import Visit

_UNDO = "chips-undo"


def show_old_chips(visit: Visit, room: StoredRoom, said: Sequence[str]) -> None:
    """Show what is said of such chips, and take them as the deck in use has them when asked to. That can be undone
    while nothing else was changed.
    """
    if said:
        show_notes(said)
        if st.button(words.CHIPS_IN_USE):
            # What the photos had before, and nothing else, is what is taken back.
            st.session_state[_UNDO] = (room.id, room.revision + 1, room.document)
            if save(visit, room, as_in_use(visit.desk, room)):
                st.rerun()
        return
    room_id, revision, before = st.session_state.get(_UNDO, (None, 0, {}))
    if (room_id, revision) == (room.id, room.revision):
        with st.container(horizontal=True, vertical_alignment="center"):
            st.html(f'<p role="status">{words.CHIPS_IN_USE_DONE}</p>', width="content")
            if st.button(words.CHIPS_AS_BEFORE):
                del st.session_state[_UNDO]
                if save(visit, room, before):
                    st.rerun()
