"""What stands at the top of a consultant's page: where one is, and the steps of a room."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

import streamlit as st

from ui import words
from ui.state import ROOM, Visit, need_consultant, need_room
from ui.style import dress

if TYPE_CHECKING:
    from matcher.service.records import StoredRoom


def desk_header(visit: Visit) -> None:
    """Show the name of the app and who is signed in."""
    left, right = st.columns([3, 2], vertical_alignment="center")
    left.html(f'<span class="g-mark">{words.NAME}</span>')
    if visit.guarded:
        right.html(
            f'<p style="text-align:right"><span class="g-soft">{escape(visit.user.name)}</span> '
            f'<a href="/sign-out" target="_self">{words.SIGN_OUT}</a></p>'
        )


def room_page(here: str, title: str) -> tuple[Visit, StoredRoom]:
    """Begin the page of a step of a room: its look, who is there, the room, the steps, the title.

    Stops the page where nobody is signed in or there is no such room.
    """
    dress(title)
    visit = need_consultant()
    room = need_room(visit)
    desk_header(visit)
    with st.container(key="steps", horizontal=True):
        st.page_link("pages/rooms.py", label=words.TO_ROOMS)
        for step, label in words.STEPS.items():
            with st.container(key="here" if step == here else f"step-{step}", width="content"):
                st.page_link(f"pages/{step}.py", label=label, query_params={ROOM: room.id})
    st.html(f'<p class="g-soft" style="margin:0">{escape(room.name)}</p>')
    st.title(title)
    return visit, room
