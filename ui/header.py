"""What stands at the top of a consultant's page: where one is, how far the room has come, and the page's own bar."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING, Any

import streamlit as st

from matcher.service import steps
from ui import words
from ui.state import ROOM, Visit, need_consultant, need_room
from ui.style import dress

if TYPE_CHECKING:
    from matcher.service.records import StoredRoom

# The page on which what came from the client is seen, by its kind.
_SEEN_AT = {"answer": "scheme", "photos": "photos"}


def desk_header(visit: Visit, *, here: str = "") -> None:
    """Show the name of the app and who is signed in; on a page beside the rooms the way back to them, and where one is
    ``here``.
    """
    with st.container(key="top", horizontal=True, vertical_alignment="center"):
        if here:
            with st.container(key="where", horizontal=True, vertical_alignment="center"):
                st.html(f'<span class="g-mark">{words.NAME}</span>', width="content")
                st.page_link("pages/rooms.py", label=words.TO_ROOMS, width="content")
                st.html(f'<span class="g-room">{escape(here)}</span>', width="stretch")
        else:
            st.html(f'<span class="g-mark">{words.NAME}</span>', width="stretch")
        _who(visit)


def room_page(here: str, title: str) -> tuple[Visit, StoredRoom, Any]:
    """Begin the page of a step of a room: its look, who is there, the room, the steps, the title.

    Returns the visit, the room and the bar beside the title, for the page's own controls. Stops the page where nobody
    is signed in or there is no such room.
    """
    dress(title)
    visit = need_consultant()
    room = need_room(visit)
    states = steps.step_states(room)
    with st.container(key="top", horizontal=True, vertical_alignment="center"):
        with st.container(key="where", horizontal=True, vertical_alignment="center"):
            st.html(f'<span class="g-mark">{words.NAME}</span>', width="content")
            st.page_link("pages/rooms.py", label=words.TO_ROOMS, width="content")
            st.html(f'<span class="g-room">{escape(room.name)}</span>', width="stretch")
        _news(room, here)
        with st.container(key="steps", horizontal=True, width="content"):
            for step, label in words.STEPS.items():
                state = "here" if step == here else "step"
                with st.container(key=f"{state}-{step}-{states[step].replace(' ', '-')}", width="content"):
                    st.page_link(f"pages/{step}.py", label=label, query_params={ROOM: room.id}, width="content")
        _who(visit)
    said = "; ".join(f"{words.STEPS[step]}: {words.STEP_STATES[state]}" for step, state in states.items())
    st.html(f'<p class="g-hidden">{said}</p>')
    bar = st.container(key="bar", horizontal=True, vertical_alignment="center")
    with bar:
        st.title(title, width="content", anchor=False)
    return visit, room, bar


def _news(room: StoredRoom, here: str) -> None:
    """Lead to what came from the client, until it has been seen there."""
    for kind in room.news:
        page = _SEEN_AT[kind]
        if page != here:
            with st.container(key=f"news-{kind}", width="content"):
                st.page_link(f"pages/{page}.py", label=words.NEWS_AT[kind], query_params={ROOM: room.id})
            return


def _who(visit: Visit) -> None:
    if visit.guarded:
        st.html(
            f'<span class="g-small"><span class="g-soft">{escape(visit.user.name)}</span> '
            f'<a href="/sign-out" target="_self">{words.SIGN_OUT}</a></span>',
            width="content",
        )
