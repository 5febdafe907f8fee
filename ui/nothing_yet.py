"""A page that has nothing to show yet: what is enough to begin, and the way to where that is done."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

import streamlit as st

from matcher.errors import GivensError
from ui import words
from ui.messages import show_error, show_note
from ui.state import ROOM

if TYPE_CHECKING:
    from matcher.service.live import LiveRanking, Wanted
    from matcher.service.records import StoredRoom
    from ui.state import Visit


def show_nothing_yet(room: StoredRoom, nothing: tuple[str, str], step: str) -> None:
    """Show a title and what is enough to begin, and a button to the ``step`` that it is done in."""
    title, enough = nothing
    with st.container(key="nothing-yet", gap=None):
        st.html(f"<h2>{escape(title)}</h2><p>{escape(enough)}</p>")
        label = words.GO_TO_STEP.format(step=words.STEPS[step])
        st.page_link(f"pages/{step}.py", label=label, query_params={ROOM: room.id}, width="content")


def need_ranked(
    visit: Visit, room: StoredRoom, nothing: tuple[str, str], *, wanted: Wanted | None = None
) -> LiveRanking:
    """Return the ranked deck, or say ``nothing`` (there is no surface yet) or what is wrong, and stop the page."""
    from matcher.service import live

    try:
        ranked = live.ranked(visit.desk, room, wanted=wanted)
    except GivensError as error:
        show_error(error)
        st.stop()
    if ranked is None:
        show_nothing_yet(room, nothing, "mark" if room.photos else "photos")
        st.stop()
    _lost(visit, room)
    return ranked


def _lost(visit: Visit, room: StoredRoom) -> None:
    """Say which chosen paints the deck in use no longer has, and lead to what there is instead."""
    from matcher.service import live

    lost = live.lost_choices(visit.desk, room)
    if lost:
        paints = ", ".join(f"{paint['code']} {paint['name']}" for paint in lost)
        with st.container(key="lost-choices", gap=None):
            show_note(words.EDITION_LOST.format(paints=paints))
            st.page_link("pages/edition.py", label=words.EDITION_LOST_WAY, width="content")
