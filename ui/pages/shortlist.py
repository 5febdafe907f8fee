"""The shortlist of each role: paints as tiles with what stays lying on them, one looked at closely, some compared."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

import streamlit as st

from matcher.service import choices, live
from matcher.service.ahead import prepare_ahead
from matcher.service.steps import wished_roles
from matcher.service.tiles import tiles_of
from ui import words
from ui.advice_note import show_advice
from ui.header import room_page
from ui.looking import Looking, looking_at
from ui.messages import show_note
from ui.nothing_yet import need_ranked
from ui.saving import save
from ui.side_pane import show_pane
from ui.swatches import stays_pictures
from ui.tile_grid import Listed, show_tiles

if TYPE_CHECKING:
    from matcher.service.records import StoredRoom
    from ui.state import Visit


def main() -> None:
    """Show the shortlist of one role."""
    visit, room, bar = room_page("shortlist", words.STEPS["shortlist"])
    looking = looking_at(room)
    with bar:
        role = _role(room, looking)
        st.html("<i></i>", width="stretch")
        _wish(visit, room)
        wanted = _narrow(looking)
    ranked = need_ranked(visit, room, words.SHORTLIST_NOTHING, wanted=wanted)
    listed = Listed(visit, room, looking, role, tiles_of(ranked, role), ranked.staying, live.pictures(visit.desk, room))
    with st.container(key="list-zones", horizontal=True):
        with st.container(key="list-main"):
            _unread(ranked)
            show_advice(visit, room, ranked)
            for note in ranked.roles[role]["notes"]:
                show_note(note)
            st.html(stays_pictures(listed.surfaces, listed.pixels))
        show_tiles(listed)
        with st.container(key="list-side"):
            show_pane(listed, ranked)
    prepare_ahead(visit.desk, room)


def _role(room: StoredRoom, looking: Looking) -> str:
    roles, pins = wished_roles(room), room.document.get("pins", {})

    def label(role: str) -> str:
        return (words.ROLE_USED if role in pins else words.ROLE_OPEN).format(role=choices.ROLES[role])

    kept = looking.role if looking.role in roles else roles[0]
    looking.role = st.segmented_control(
        words.ROLE, roles, default=kept, required=True, format_func=label, key="role", label_visibility="collapsed"
    )
    return looking.role


def _wish(visit: Visit, room: StoredRoom) -> None:
    """Show the brief's wish for warm or cool, which is changed here as well as there."""
    wishes = room.document.get("wishes", {})
    wish = st.segmented_control(
        words.WARMTH,
        ("warm", "cool", "either"),
        default=wishes.get("warmth", "either"),
        required=True,
        format_func=words.WARMTH_WORDS.__getitem__,
        key="warmth",
        label_visibility="collapsed",
    )
    if wish != wishes.get("warmth", "either") and save(
        visit, room, {**room.document, "wishes": {**wishes, "warmth": wish}}
    ):
        st.rerun()


def _narrow(looking: Looking) -> live.Wanted | None:
    with st.popover(words.FILTERS):
        looking.lrv = st.slider(words.FILTER_LRV, 0, 100, looking.lrv, key="filter-lrv")
        looking.families = st.multiselect(
            words.FILTER_FAMILY,
            list(choices.FAMILIES),
            default=looking.families,
            format_func=choices.FAMILIES.__getitem__,
            key="filter-family",
        )
    if looking.lrv == (0, 100) and not looking.families:
        return None
    darkest, lightest = looking.lrv
    return live.Wanted((float(darkest), float(lightest)), frozenset(looking.families), "either")


def _unread(ranked: live.LiveRanking) -> None:
    """Show the surfaces that the list was made without, as the report does."""
    if ranked.unread:
        entries = "".join(
            f"<li><strong>{escape(missing['title'])}</strong>: {escape(missing['sentence'])}</li>"
            for missing in ranked.unread
        )
        st.html(f'<div class="g-note"><p>{words.UNREAD}</p><ul>{entries}</ul></div>')


main()
