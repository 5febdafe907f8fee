"""A new edition of the deck: its file, every room ranked, going over to it, and what it changes room by room."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

import streamlit as st

from matcher.errors import GivensError
from matcher.service import deck_in_use, edition_arrival, edition_page
from ui import words
from ui.choosing.component import send_files
from ui.edition_deck import show_deck, show_new
from ui.edition_room import show_room
from ui.header import desk_header
from ui.leafing import show_leaf
from ui.messages import show_error, show_note, show_problems
from ui.state import Visit, need_consultant
from ui.style import dress

if TYPE_CHECKING:
    from matcher.service.edition_page import EditionView

# Which rooms this session looks at, how far it has leafed, and the rooms it decided in, which stay in sight until then.
_WHICH, _PAGE, _STAYING = "edition-which", "edition-page", "edition-staying"
_UNDER_WAY = ("running", "stopping")
# What went wrong with a decision about many rooms.
_WRONG = "edition-wrong"


def main() -> None:
    """Show the page."""
    dress(words.EDITION)
    visit = need_consultant()
    desk_header(visit, here=words.EDITION)
    every = st.session_state.get(_WHICH) == "all"
    view = edition_page.view_edition(
        visit.desk,
        visit.user,
        every=every,
        page=st.session_state.get(_PAGE, 0),
        staying=st.session_state.setdefault(_STAYING, set()),
    )
    _bar(view)
    try:
        deck = deck_in_use.in_use(visit.desk)
    except GivensError as error:
        show_error(error)
        return
    with st.container(key="edition-zones", gap=None):
        with st.container(key="edition-side"):
            show_deck(visit, deck)
            if view is not None:
                show_new(visit, deck, view)
            with st.container(key="edition-file"):
                _file(view)
        with st.container(key="edition-main"):
            if view is None:
                _how()
            elif view.ranking.standing in _UNDER_WAY:
                show_note(words.EDITION_LIST_WAITS)
            else:
                _rooms(visit, view, every=every)


def _bar(view: EditionView | None) -> None:
    with st.container(key="bar", horizontal=True, vertical_alignment="center"):
        st.title(words.EDITION, anchor=False, width="content")
        if view is None or not view.all_rooms or view.ranking.standing in _UNDER_WAY:
            return
        counts = {"open": view.open_rooms, "all": view.all_rooms}
        st.segmented_control(
            words.EDITION_ROOMS,
            list(words.EDITION_WHICH),
            default="open",
            format_func=lambda which: words.EDITION_WHICH[which].format(count=counts[which]),
            key=_WHICH,
            required=True,
            label_visibility="collapsed",
            on_change=_turn_to,
            args=(0,),
        )


def _file(view: EditionView | None) -> None:
    """Where the new edition's file is chosen: in a fold where one was, and not while rooms are ranked."""
    if view is not None and view.ranking.standing in _UNDER_WAY:
        return
    fold = st.container() if view is None else st.expander(words.EDITION_CHOOSE_OTHER, expanded=not view.kept)
    with fold:
        sent = send_files(
            words.EDITION_CHOOSE,
            "/new-edition",
            key="edition-chooser",
            most_mb=edition_arrival.most_deck_mb(),
            several=False,
            accept=words.EDITION_ACCEPT,
        )
        st.caption(words.EDITION_KINDS)
        show_problems(sent.problems)
    if sent.kept:
        # What is above was drawn before the file came.
        _turn_to(0)
        st.rerun()


def _how() -> None:
    steps = "".join(f"<li><h2>{escape(title)}</h2><p>{escape(said)}</p></li>" for title, said in words.EDITION_STEPS)
    st.html(f'<ol class="e-how">{steps}</ol>')


def _rooms(visit: Visit, view: EditionView, *, every: bool) -> None:
    if view.only_first > 1 and not every:
        label = words.EDITION_ALL_SEEN.format(count=view.only_first)
        st.button(label, key="edition-all-seen", on_click=_see_all, args=(visit, view.id))
    wrong = st.session_state.pop(_WRONG, None)
    if wrong is not None:
        show_error(wrong)
    if view.only_called > 1 and view.in_use and not every:
        label = words.EDITION_NEW_CODES.format(count=view.only_called)
        st.button(label, key="edition-new-codes", on_click=_take_new_codes, args=(visit, view.id))
    for room in view.rooms:
        show_room(visit, view.id, room, st.session_state[_STAYING])
    if not view.rooms:
        show_note(words.EDITION_ALL_DECIDED if view.all_rooms else words.EDITION_NOTHING)
    show_leaf(
        view.first,
        len(view.rooms),
        view.listed,
        edition_page.ROOMS_A_PAGE,
        (words.EDITION_BACK, words.EDITION_ON),
        _turn_to,
    )
    if view.unranked:
        rows = "".join(f"<li>{escape(name)}: {escape(why)}</li>" for name, why in view.unranked)
        title = words.EDITION_UNRANKED.format(count=len(view.unranked))
        st.html(f"<details><summary>{escape(title)}</summary><ul>{rows}</ul></details>")


def _see_all(visit: Visit, edition: str) -> None:
    edition_page.see_first_choices(visit.desk, visit.user, edition)
    _turn_to(0)


def _take_new_codes(visit: Visit, edition: str) -> None:
    try:
        edition_page.take_new_codes(visit.desk, visit.user, edition)
    except GivensError as error:
        st.session_state[_WRONG] = error
    _turn_to(0)


def _turn_to(page: int) -> None:
    st.session_state[_PAGE] = page
    st.session_state[_STAYING] = set()


main()
