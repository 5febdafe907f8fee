"""All rooms of a consultant: what this does, each room with its next thing to do, and a way to begin one."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING, Literal

import streamlit as st

from matcher.errors import GivensError
from matcher.service import archive, desk, edition_page, room_list
from ui import words
from ui.choosing.component import send_files
from ui.desk import sample_photos
from ui.header import desk_header
from ui.how_it_goes import offer_how_it_goes, show_how_it_goes
from ui.leafing import show_leaf
from ui.messages import show_error, show_note, show_problems
from ui.room_card import show_card
from ui.state import ROOM, Visit, need_consultant
from ui.style import dress

if TYPE_CHECKING:
    from matcher.service.room_list import RoomList, Whose

# What this session has open, looks for, and how far it has leafed.
_OPEN, _LIKE, _WHOSE, _PAGE = "rooms-open", "rooms-like", "rooms-whose", "rooms-page"


def main() -> None:
    """Show the rooms."""
    dress(words.ROOMS)
    visit = need_consultant()
    desk_header(visit)
    explained = show_how_it_goes(visit)
    like: str = st.session_state.get(_LIKE, "")
    whose: Whose = st.session_state.get(_WHOSE) or "all"
    listed = room_list.list_page(
        visit.desk, visit.user, like=like, whose=whose, page=st.session_state.get(_PAGE, 0), sample=sample_photos()
    )
    _bar(listed, titled=not explained)
    _begin(visit)
    _edition(visit)
    with st.container(key="room-list", gap=None):
        for card in listed.cards:
            show_card(card)
    if not listed.cards:
        _nothing(like, whose)
    show_leaf(
        listed.first, len(listed.cards), listed.counts[whose], room_list.ROOMS_A_PAGE,
        (words.ROOMS_LATER, words.ROOMS_EARLIER), _turn_to,
    )  # fmt: skip
    _foot(visit, explained=explained)


def _bar(listed: RoomList, *, titled: bool) -> None:
    with st.container(key="bar", horizontal=True, vertical_alignment="center"):
        (st.title if titled else st.header)(words.ROOMS, anchor=False, width="content")
        st.segmented_control(
            words.WHOSE,
            list(words.WHOSE_TURN),
            default="all",
            format_func=lambda whose: words.WHOSE_TURN[whose].format(count=listed.counts[whose]),
            key=_WHOSE,
            required=True,
            label_visibility="collapsed",
            on_change=_to_the_first,
        )
        with st.container(key="bar-end", horizontal=True, vertical_alignment="center", horizontal_alignment="right"):
            st.text_input(
                words.ROOM_SEARCH, key=_LIKE, type="search", max_chars=100, placeholder=words.ROOM_SEARCH, width=288,
                label_visibility="collapsed", live=True, on_change=_to_the_first,
            )  # fmt: skip
            st.button(words.IMPORT, on_click=_open, args=("import",))
            # The form that it opens has a black button of its own.
            kind: Literal["primary", "secondary"] = "secondary" if st.session_state.get(_OPEN) == "new" else "primary"
            st.button(words.NEW_ROOM, type=kind, key="new-room-open", on_click=_open, args=("new",))


def _edition(visit: Visit) -> None:
    """Lead to what a new edition of the deck changes, until all of it is decided."""
    count = edition_page.rooms_to_decide(visit.desk, visit.user)
    if count:
        with st.container(key="edition-notice", horizontal=True, vertical_alignment="center"):
            said = words.EDITION_NOTICE["one" if count == 1 else "many"].format(count=count)
            st.html(f"<p>{said}</p>", width="content")
            st.page_link("pages/edition.py", label=words.EDITION_LOOK, width="content")


def _begin(visit: Visit) -> None:
    """The small form that one of the two buttons opened."""
    opened = st.session_state.get(_OPEN)
    if opened == "new":
        _new_room(visit)
    elif opened == "import":
        _bring_in(visit)


def _new_room(visit: Visit) -> None:
    with st.form("new-room", enter_to_submit=True):
        with st.container(horizontal=True, vertical_alignment="bottom"):
            name = st.text_input(
                words.NEW_ROOM_NAME, max_chars=120, placeholder=words.NEW_ROOM_EXAMPLE, key="new-room-name"
            )
            begun = st.form_submit_button(words.NEW_ROOM_BEGIN, type="primary")
            st.form_submit_button(words.NOT_NOW_THANKS, on_click=_open, args=(None,))
        told = st.container()
        st.caption(words.NEW_ROOM_HELP)
        if not begun:
            return
        if not name.strip():
            with told:
                show_problems([words.NEW_ROOM_NAMELESS])
            return
        try:
            room_id = desk.new_room(visit.desk, visit.user, name)
        except GivensError as error:
            with told:
                show_error(error)
            return
    st.session_state.pop(_OPEN, None)
    st.switch_page("pages/brief.py", query_params={ROOM: room_id})


def _bring_in(visit: Visit) -> None:
    with st.container(key="import-room", border=True):
        most_mb = archive.most_room_mb(visit.desk)
        sent = send_files(
            words.IMPORT_CHOOSE, "/bring-in", key="bring-in", most_mb=most_mb, several=False, accept=".zip"
        )
        st.caption(words.IMPORT_HELP)
        show_problems(sent.problems)
        st.button(words.NOT_NOW_THANKS, on_click=_open, args=(None,))
    if sent.kept:
        st.session_state.pop(_OPEN, None)
        st.switch_page("pages/mark.py", query_params={ROOM: sent.kept[0]})


def _nothing(like: str, whose: Whose) -> None:
    if like.strip():
        show_note(words.NO_ROOMS_FOUND.format(like=like.strip()))
    elif words.NO_ROOMS_TURN[whose]:
        show_note(words.NO_ROOMS_TURN[whose])
    else:
        st.html(f'<div class="g-none"><h3>{words.NO_ROOMS}</h3><p>{words.NO_ROOMS_WHY}</p></div>')


def _foot(visit: Visit, *, explained: bool) -> None:
    with st.container(key="rooms-foot", horizontal=True, vertical_alignment="center"):
        if not visit.guarded:
            st.html(
                f'<details class="g-guard"><summary>{escape(words.GUARD)}</summary>'
                f"<p>{escape(words.GUARD_HOW)} <code>givens user add NAME</code></p></details>",
                width="stretch",
            )
        st.page_link("pages/edition.py", label=words.EDITION_LINK, width="content")
        if not explained:
            offer_how_it_goes(visit)


def _open(which: str | None) -> None:
    st.session_state[_OPEN] = which


def _to_the_first() -> None:
    st.session_state[_PAGE] = 0


def _turn_to(page: int) -> None:
    st.session_state[_PAGE] = page


main()
