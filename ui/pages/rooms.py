"""All rooms of a consultant, where each stands, and a way to start one."""

from __future__ import annotations

from html import escape

import streamlit as st

from matcher.service import archive, desk
from ui import words
from ui.choosing.component import send_files
from ui.header import desk_header
from ui.messages import show_note, show_problems
from ui.state import ROOM, Visit, need_consultant
from ui.style import dress


def main() -> None:
    """Show the rooms."""
    dress(words.ROOMS)
    visit = need_consultant()
    desk_header(visit)
    st.title(words.ROOMS)
    if not visit.guarded:
        show_note(words.FIRST_RUN)
    rooms = desk.list_rooms(visit.desk, visit.user)
    if not rooms:
        st.write(words.NO_ROOMS)
    for room in rooms:
        name, about = st.columns([2, 3], vertical_alignment="center")
        with name.container(key=f"room-{room.id}"):
            page = "pages/mark.py" if room.photos else "pages/brief.py"
            st.page_link(page, label=room.name, query_params={ROOM: room.id})
        news = f" · <strong>{words.NEWS}</strong>" if room.unread else ""
        about.html(
            f'<span class="g-soft">{escape(words.STAGES[desk.where_it_stands(room)])} · '
            f"{room.photos} photos · {room.surfaces} surfaces · {room.updated:%d %b %Y}</span>{news}"
        )
    _start(visit)


def _start(visit: Visit) -> None:
    left, right = st.columns(2, gap="large")
    with left, st.form("new-room", clear_on_submit=True):
        name = st.text_input(words.NEW_ROOM_NAME, max_chars=120)
        if st.form_submit_button(words.NEW_ROOM, type="primary") and name.strip():
            room_id = desk.new_room(visit.desk, visit.user, name.strip())
            st.switch_page("pages/brief.py", query_params={ROOM: room_id})
    with right:
        most_mb = archive.most_room_mb(visit.desk)
        st.write(words.IMPORT)
        sent = send_files(
            words.IMPORT_CHOOSE, "/bring-in", key="bring-in", most_mb=most_mb, several=False, accept=".zip"
        )
        st.caption(words.IMPORT_HELP)
        show_problems(sent.problems)
        if sent.kept:
            st.switch_page("pages/mark.py", query_params={ROOM: sent.kept[0]})


main()
