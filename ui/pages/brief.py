"""The brief: what the room is, what is wished for, what the client wrote, and the client's private link."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING, Any

import streamlit as st

from matcher.errors import GivensError
from matcher.service import choices, desk
from ui import words
from ui.client_link import show_link
from ui.forms import ask_roles, ask_room, ask_warmth
from ui.header import room_page
from ui.messages import show_error
from ui.saving import save
from ui.state import Visit

if TYPE_CHECKING:
    from collections.abc import Mapping

    from matcher.service.records import StoredRoom


# What the client chose from, by key of the brief.
_OFFERED: dict[str, Mapping[Any, str]] = {
    "facing": choices.FACINGS,
    "lamps_k": choices.LAMPS,
    "may_be_painted": choices.ROLES,
    "warmth": words.WARMTH_WORDS,
}


def main() -> None:
    """Show and edit the brief."""
    visit, room, _ = room_page("brief", words.BRIEF_TITLE)
    form, side = st.columns([3, 2], gap="large")
    with form:
        _form(visit, room)
    with side:
        _from_client(room)
        st.subheader(words.LINK_TITLE)
        show_link(visit, room, about="photos")
        _remove(visit, room)


def _form(visit: Visit, room: StoredRoom) -> None:
    about, wishes = room.document.get("room", {}), room.document.get("wishes", {})
    with st.form("brief"):
        st.subheader(words.BRIEF_ROOM)
        name = st.text_input(words.ROOM_NAME, about.get("name", room.name), max_chars=120)
        known = ask_room(about)
        latitude = st.number_input(words.LATITUDE, -90.0, 90.0, about.get("latitude"), step=0.5)
        st.subheader(words.BRIEF_WISHES)
        warmth = ask_warmth(wishes.get("warmth"))
        roles = ask_roles(wishes.get("roles", ["walls", "trim"]))
        free = st.checkbox(words.LRV_ANY, "lrv" not in wishes)
        lrv = st.slider(words.LRV_RANGE, 0, 100, tuple(round(v) for v in wishes.get("lrv", (40, 80))))
        if st.form_submit_button(words.SAVE, type="primary"):
            about = {"name": name.strip() or room.name, **known}
            if latitude is not None:
                about["latitude"] = latitude
            wishes = {"warmth": warmth, "roles": roles or ["walls"]}
            if not free and lrv[0] < lrv[1]:
                wishes["lrv"] = [float(value) for value in lrv]
            if save(visit, room, {**room.document, "room": about, "wishes": wishes}):
                st.toast(words.SAVED)
                st.rerun()


def _from_client(room: StoredRoom) -> None:
    answers = {key: value for key, value in room.brief.items() if value}
    if not answers:
        return
    st.subheader(words.FROM_CLIENT)
    rows = "".join(
        f"<tr><th scope='row'>{escape(words.BRIEF_KEYS.get(key, key))}</th><td>{escape(_answer(key, value))}</td></tr>"
        for key, value in answers.items()
    )
    st.html(f'<table class="g-table">{rows}</table>')


def _answer(key: str, value: Any) -> str:
    parts = value if isinstance(value, list | tuple) else [value]
    offered = _OFFERED.get(key, {})
    return ", ".join(str(offered.get(part, part)) for part in parts)


def _remove(visit: Visit, room: StoredRoom) -> None:
    with st.expander(words.REMOVE_ROOM):
        sure = st.checkbox(words.REMOVE_ROOM_SURE)
        if st.button(words.REMOVE_ROOM, disabled=not sure):
            try:
                desk.delete_room(visit.desk, visit.user, room.id)
            except GivensError as error:
                show_error(error)
            else:
                st.switch_page("pages/rooms.py")


main()
