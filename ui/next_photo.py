"""The photo that the client is asked for, as the consultant's pages show it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

from matcher.errors import GivensError
from matcher.service import next_photo
from ui import words
from ui.messages import show_error, show_note

if TYPE_CHECKING:
    from matcher.service.records import StoredRoom
    from ui.state import Visit


def show_request(visit: Visit, room: StoredRoom) -> None:
    """Show what the client is asked for and whether it has come; nothing where nothing is asked."""
    request = next_photo.request_of(room)
    if request is None:
        return
    state = words.ASKED[request.state].format(action=request.text, photos=", ".join(request.photos))
    if request.state == "used":
        show_note(state)
        return
    text, button = st.columns([3, 1], vertical_alignment="center")
    with text:
        show_note(state)
    if button.button(words.ASK_WITHDRAW, key="withdraw-photo", width="stretch"):
        try:
            next_photo.withdraw_request(visit.desk, visit.user, room.id)
        except GivensError as error:
            show_error(error)
        else:
            st.rerun()
