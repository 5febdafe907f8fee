"""One room in which a new edition changes something: what, and what its consultant makes of it."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

import streamlit as st

from matcher.errors import GivensError
from matcher.service import edition_page
from ui import words
from ui.messages import show_error
from ui.state import ROOM

if TYPE_CHECKING:
    from collections.abc import Mapping

    from matcher.service.edition_page import Change, ChangedRoom, Way
    from ui.state import Visit

_WRONG = "edition-room-wrong"  # the room in which a decision could not be done, and why


def show_room(visit: Visit, edition: str, room: ChangedRoom, staying: set[str]) -> None:
    """Show a room; one that something is decided in is added to those ``staying`` in sight."""
    with st.container(key=f"edition-room-{room.id}", gap=None):
        with st.container(key=f"edition-head-{room.id}", horizontal=True, vertical_alignment="center"):
            st.html(f"<h2>{escape(room.name)}</h2>", width="stretch")
            page = "scheme" if room.shared else "shortlist"
            label = words.EDITION_TO_SCHEME if page == "scheme" else words.EDITION_TO_SHORTLIST
            st.page_link(f"pages/{page}.py", label=label, query_params={ROOM: room.id}, width="content")
        if room.shared:
            st.html(f'<p class="e-client g-soft">{escape(words.EDITION_CLIENT)}</p>')
        wrong = st.session_state.get(_WRONG)
        if wrong is not None and wrong[0] == room.id:
            del st.session_state[_WRONG]
            show_error(wrong[1])
        for change in room.changes:
            _change(visit, edition, room, change, staying)


def _change(visit: Visit, edition: str, room: ChangedRoom, change: Change, staying: set[str]) -> None:
    key = f"{room.id}-{change.place}"

    def button(label: str, way: Way | str) -> None:
        given = (visit, edition, room.id, change.place, way, staying)
        st.button(label, key=f"{way or 'undo'}-{key}", on_click=_decide, args=given)

    with st.container(key=f"edition-row-{key}", horizontal=True, vertical_alignment="center"):
        st.html(_pair(change), width="content")
        st.html(
            f'<p class="e-said"><span class="g-soft">{escape(change.title)}</span>'
            f"<br>{escape(change.said)}.</p>{_names(change)}",
            width="stretch",
        )
        with st.container(key=f"edition-ways-{key}", horizontal=True, horizontal_alignment="right", width="content"):
            if not change.decided:
                for way in change.ways:
                    label = words.EDITION_WAYS[way].format(code=change.now["code"])
                    button(words.EDITION_SEEN if change.about == "first choice" else label, way)
                return
            said = words.EDITION_DECIDED[change.decided].format(code=change.now["code"])
            if change.about == "first choice":
                said = words.EDITION_SEEN
            st.html(f'<strong role="status">{escape(said)}</strong>', width="content")
            if change.decided == "choose":
                label = words.EDITION_TO_SHORTLIST
                st.page_link("pages/shortlist.py", label=label, query_params={ROOM: room.id}, width="content")
            button(words.EDITION_UNDO, "")


def _decide(visit: Visit, edition: str, room: str, place: int, way: Way, staying: set[str]) -> None:
    try:
        edition_page.decide(visit.desk, visit.user, edition, room, place, way)
    except GivensError as error:
        st.session_state[_WRONG] = (room, error)
    else:
        staying.add(room)


def _pair(change: Change) -> str:
    """Both paints edge to edge on the ground that swatches lie on; one alone where they are the same."""
    shown = [change.was] if change.same else [change.was, change.now]
    said = words.EDITION_PAIR.format(was=_called(change.was), now=_called(change.now))
    if change.same:
        said = _called(change.was)
    parts = "".join(f'<span style="background:{escape(paint["hex"])}"></span>' for paint in shown)
    return f'<div class="g-ground e-pair" role="img" aria-label="{escape(said)}"><div>{parts}</div></div>'


def _names(change: Change) -> str:
    if change.same:
        return f'<p class="g-soft g-small">{escape(_called(change.was))}</p>'
    text = words.EDITION_PAIR.format(was=_called(change.was), now=_called(change.now))
    return f'<p class="g-soft g-small">{escape(text)}</p>'


def _called(paint: Mapping[str, str]) -> str:
    return f"{paint['code']} {paint['name']}"
