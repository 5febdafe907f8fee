"""A new edition of the deck: what it changes in each of a consultant's rooms, and what they make of it."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

import streamlit as st

from matcher.errors import GivensError
from matcher.service import edition_page
from ui import words
from ui.header import desk_header
from ui.leafing import show_leaf
from ui.messages import show_error, show_note
from ui.state import ROOM, Visit, need_consultant
from ui.style import dress

if TYPE_CHECKING:
    from collections.abc import Mapping

    from matcher.service.edition_page import Change, ChangedRoom, EditionView, Way

# Which rooms this session looks at, how far it has leafed, and what went wrong with the last decision.
_WHICH, _PAGE, _WRONG = "edition-which", "edition-page", "edition-wrong"


def main() -> None:
    """Show the page."""
    dress(words.EDITION)
    visit = need_consultant()
    desk_header(visit, here=words.EDITION)
    every = st.session_state.get(_WHICH) == "all"
    view = edition_page.view_edition(visit.desk, visit.user, every=every, page=st.session_state.get(_PAGE, 0))
    if view is None:
        st.title(words.EDITION, anchor=False)
        show_note(words.EDITION_NONE)
        st.html("<p><code>givens deck update NEW.csv</code></p>")
        return
    _bar(view)
    _about(view)
    wrong = st.session_state.pop(_WRONG, None)
    if wrong is not None:
        show_error(wrong)
    for room in view.rooms:
        _room(visit, view, room)
    if not view.rooms:
        show_note(words.EDITION_ALL_DECIDED if view.all_rooms else words.EDITION_NOTHING)
    show_leaf(
        view.first, len(view.rooms), view.all_rooms if every else view.open_rooms, edition_page.ROOMS_A_PAGE,
        (words.EDITION_BACK, words.EDITION_ON), _turn_to,
    )  # fmt: skip


def _bar(view: EditionView) -> None:
    with st.container(key="bar", horizontal=True, vertical_alignment="center"):
        st.title(words.EDITION, anchor=False, width="content")
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


def _about(view: EditionView) -> None:
    names = words.EDITION_FROM_TO.format(old=view.old, new=view.edition)
    facts = words.EDITION_COUNTS.format(gone=view.gone, new=view.added, moved=view.moved)
    if view.renamed:
        facts += words.EDITION_RENAMED.format(count=view.renamed)
    st.html(f'<p class="e-about">{escape(names)}<br><span class="g-soft g-num">{escape(facts)}</span></p>')
    notes = [f"{note[:1].upper()}{note[1:]}." for note in view.notes]
    if not view.complete:
        notes.append(words.EDITION_UNFINISHED)
    if not view.in_use:
        notes.append(words.EDITION_NOT_IN_USE)
    lines = "".join(f"<p>{escape(note)}</p>" for note in notes)
    if lines:
        st.html(f'<div class="g-note">{lines}</div>')
    if view.unranked:
        rows = "".join(f"<li>{escape(name)}: {escape(why)}</li>" for name, why in view.unranked)
        st.html(f"<details><summary>{escape(words.EDITION_UNRANKED)}</summary><ul>{rows}</ul></details>")


def _room(visit: Visit, view: EditionView, room: ChangedRoom) -> None:
    with st.container(key=f"edition-room-{room.id}", gap=None):
        with st.container(key=f"edition-head-{room.id}", horizontal=True, vertical_alignment="center"):
            st.html(f"<h2>{escape(room.name)}</h2>", width="stretch")
            page = "scheme" if any(change.about == "shared" for change in room.changes) else "shortlist"
            label = words.EDITION_TO_SCHEME if page == "scheme" else words.EDITION_TO_SHORTLIST
            st.page_link(f"pages/{page}.py", label=label, query_params={ROOM: room.id}, width="content")
        for change in room.changes:
            _change(visit, view.id, room, change)


def _change(visit: Visit, edition: str, room: ChangedRoom, change: Change) -> None:
    key = f"{room.id}-{change.place}"
    with st.container(key=f"edition-row-{key}", horizontal=True, vertical_alignment="center"):
        st.html(_pair(change), width="content")
        st.html(
            f'<p class="e-said"><span class="g-soft">{escape(change.role)}</span>'
            f"<br>{escape(change.said)}.</p>{_names(change)}",
            width="stretch",
        )
        with st.container(key=f"edition-ways-{key}", horizontal=True, horizontal_alignment="right", width="content"):
            if change.decided:
                st.html(f"<strong>{words.EDITION_DECIDED[change.decided]}</strong>", width="content")
                if change.decided == "leave":
                    _button(words.EDITION_UNDO, f"undo-{key}", visit, edition, room.id, change.place, "")
            else:
                for way in change.ways:
                    label = words.EDITION_WAYS[way].format(code=change.now["code"])
                    if way == "leave" and change.about == "first choice":
                        label = words.EDITION_SEEN
                    _button(label, f"{way}-{key}", visit, edition, room.id, change.place, way)


def _button(label: str, key: str, visit: Visit, edition: str, room: str, place: int, way: Way | str) -> None:
    st.button(label, key=key, on_click=_decide, args=(visit, edition, room, place, way))


def _decide(visit: Visit, edition: str, room: str, place: int, way: Way) -> None:
    try:
        edition_page.decide(visit.desk, visit.user, edition, room, place, way)
    except GivensError as error:
        st.session_state[_WRONG] = error


def _pair(change: Change) -> str:
    """Both paints edge to edge on the ground that swatches lie on; one alone where they are the same."""
    shown = [change.was] if change.same else [change.was, change.now]
    said = words.EDITION_PAIR.format(was=_called(change.was), now=_called(change.now))
    parts = "".join(f'<span style="background:{escape(paint["hex"])}"></span>' for paint in shown)
    return f'<div class="g-ground e-pair" role="img" aria-label="{escape(said)}"><div>{parts}</div></div>'


def _names(change: Change) -> str:
    if change.same:
        return f'<p class="g-soft g-small">{escape(_called(change.was))}</p>'
    text = words.EDITION_PAIR.format(was=_called(change.was), now=_called(change.now))
    return f'<p class="g-soft g-small">{escape(text)}</p>'


def _called(paint: Mapping[str, str]) -> str:
    return f"{paint['code']} {paint['name']}"


def _turn_to(page: int) -> None:
    st.session_state[_PAGE] = page


main()
