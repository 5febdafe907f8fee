"""The brief: what the room is, what is wished for, what the client wrote, and the client's private link."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING, Any

import streamlit as st

from matcher.errors import GivensError
from matcher.service import choices, desk
from ui import words
from ui.brief_folds import ask_house, ask_kept_wishes, ask_sizes
from ui.client_link import show_link
from ui.forms import ask_roles, ask_room, ask_warmth
from ui.header import room_page
from ui.keeping import Keeping
from ui.messages import show_error
from ui.onward import onward
from ui.rooms_in_view import ask_rooms_in_view
from ui.state import Visit

if TYPE_CHECKING:
    from collections.abc import Mapping

    from matcher.service.records import StoredRoom

# Where the range of the walls' LRV begins and ends once it is no longer any. Assumption: the middle and light third.
_LRV = (40, 80)
# What the client chose from, by key of the brief.
_OFFERED: dict[str, Mapping[Any, str]] = {
    "facing": choices.FACINGS,
    "lamps_k": choices.LAMPS,
    "may_be_painted": choices.ROLES,
    "warmth": words.WARMTH_WORDS,
}


def main() -> None:
    """Show and edit the brief."""
    visit, room, bar = room_page("brief", words.BRIEF_TITLE)
    keeping = Keeping(visit, room)
    with bar:
        keeping.tell()
    with st.container(key="brief", gap=None):
        with st.container(key="brief-room"):
            _room(visit, keeping, room)
        with st.container(key="brief-wishes"):
            _wishes(visit, keeping, room)
        with st.container(key="brief-side"):
            _from_client(room)
            st.subheader(words.LINK_TITLE, anchor=False)
            show_link(visit, room, about="photos")
            _remove(visit, room)
    onward(room, "brief")
    keeping.catch_up()


def _room(visit: Visit, keeping: Keeping, room: StoredRoom) -> None:
    about = room.document.get("room", {})
    st.subheader(words.BRIEF_ROOM, anchor=False)
    st.text_input(words.ROOM_NAME, about.get("name", room.name), max_chars=120, live=True, **keeping.field("name"))
    keeping.problems("name")
    ask_room(about, keep=keeping.field)
    latitude = float(about["latitude"]) if "latitude" in about else None
    st.number_input(words.LATITUDE, -90.0, 90.0, step=0.5, **keeping.clearable("latitude", latitude))
    ask_house(keeping, room)
    ask_sizes(keeping, room)
    ask_rooms_in_view(visit, keeping, room)


def _wishes(visit: Visit, keeping: Keeping, room: StoredRoom) -> None:
    wishes = room.document.get("wishes", {})
    st.subheader(words.BRIEF_WISHES, anchor=False)
    ask_roles(wishes.get("roles", ["walls", "trim"]), keep=keeping.field)
    keeping.problems("roles")
    ask_warmth(wishes.get("warmth"), keep=keeping.field)
    present = wishes.get("lrv", _LRV)
    free = st.checkbox(words.LRV_ANY, "lrv" not in wishes, **keeping.switch("lrv", {True: None, False: _LRV}))
    if not free:
        st.slider(words.LRV_RANGE, 0, 100, tuple(round(end) for end in present), **keeping.field("lrv"))
        keeping.problems("lrv")
    ask_kept_wishes(visit, keeping, room)


def _from_client(room: StoredRoom) -> None:
    answers = {key: value for key, value in room.brief.items() if value}
    if not answers:
        return
    st.subheader(words.FROM_CLIENT, anchor=False)
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
