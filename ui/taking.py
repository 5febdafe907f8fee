"""A choice made on the scheme: saved at once, the scheme chosen anew around it, and taken back with one press."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING, Any

import streamlit as st

from matcher.service.scheme_choices import choices_of, with_choices
from ui import words
from ui.saving import save

if TYPE_CHECKING:
    from matcher.service.records import StoredRoom
    from ui.state import Visit

_UNDO = "scheme-undo"


def take(visit: Visit, room: StoredRoom, document: dict[str, Any], said: str) -> None:
    """Save the draft with the choice in it and draw the page anew; ``said`` tells what was done."""
    if save(visit, room, document):
        st.session_state[_UNDO] = (room.id, said, choices_of(room.document), choices_of(document))
        st.rerun()


def show_undo(visit: Visit, room: StoredRoom) -> None:
    """Offer to take back what was chosen last, while nothing was chosen or wished for since."""
    room_id, said, before, after = st.session_state.get(_UNDO, (None, "", {}, {}))
    if room_id != room.id or choices_of(room.document) != after:
        return
    with st.container(key="undo", horizontal=True, vertical_alignment="center"):
        st.html(f'<p role="status">{escape(said)}</p>', width="content")
        if st.button(words.SCHEME_UNDO):
            del st.session_state[_UNDO]
            if save(visit, room, with_choices(room.document, before)):
                st.rerun()
