"""Marking what stays: cards checked, surfaces outlined, their colours beside them as they are found."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

from matcher.service import live
from ui import words
from ui.header import room_header
from ui.messages import show_note, show_problems
from ui.state import Visit, need_consultant, need_room
from ui.style import dress
from ui.swatches import surface_block

if TYPE_CHECKING:
    from matcher.service.records import StoredRoom


def main() -> None:
    """Show the photo to mark and the colours found so far."""
    dress(words.STEPS["mark"])
    visit = need_consultant()
    room = need_room(visit)
    room_header(visit, room, "mark")
    st.title(words.MARK_TITLE)
    if not room.photos:
        show_note(words.MARK_NO_PHOTOS)
        return
    picture, colours = st.columns([3, 2], gap="large")
    with picture:
        st.selectbox(words.PHOTO, [photo.name for photo in room.photos])
    with colours:
        _colours(visit, room)


def _colours(visit: Visit, room: StoredRoom) -> None:
    st.subheader(words.COLOURS)
    found = live.measured(visit.desk, room)
    show_problems(found.problems)
    if not found.surfaces:
        st.write(words.NO_COLOURS)
    pixels = live.pictures(visit.desk, room) if found.surfaces else {}
    for surface in found.surfaces:
        st.html(surface_block(surface, pixels))


main()
