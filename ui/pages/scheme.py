"""The scheme: one paint a role, chosen together, in the room and beside what stays; ways on; client; hand-over."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING, Any

import streamlit as st

from matcher.service import live, sharing
from ui import words
from ui.doorways import show_doorways
from ui.handover_card import show_handover
from ui.header import room_page
from ui.nothing_yet import need_ranked
from ui.scheme_board import show_board
from ui.scheme_facts import show_checked, show_conflicts, show_takes, show_why
from ui.scheme_ways import show_companions, show_others, show_trim_ladder
from ui.share_card import show_answers, show_share_card
from ui.state import ROOM
from ui.taking import show_undo

if TYPE_CHECKING:
    from matcher.service.records import StoredRoom

Json = dict[str, Any]


def main() -> None:
    """Show the scheme."""
    visit, room, bar = room_page("scheme", words.STEPS["scheme"])
    board, side = st.columns([944, 424], gap="medium")
    with side.container(key="share-side"):
        show_answers(visit, room)
    with board:
        ranked = need_ranked(visit, room, words.SCHEME_NOTHING)
        picture = sharing.picture_of(visit.desk, room, ranked.scheme["paints"])
        _bar(bar, room, ranked.scheme)
        show_undo(visit, room)
        show_conflicts(visit, room, ranked)
        show_board(visit, room, ranked, live.pictures(visit.desk, room), picture)
        show_doorways(visit, room, ranked)
        show_trim_ladder(visit, room, ranked)
        show_companions(visit, room, ranked)
        show_others(visit, room, ranked.scheme, picture)
        show_takes(visit, room, ranked)
        show_checked(ranked)
        show_why(ranked.scheme)
    with side.container(key="share-card"):
        show_share_card(visit, room, ranked, picture)
    with side.container(key="handover-card"):
        show_handover(visit, room)


def _bar(bar: Any, room: StoredRoom, scheme: Json) -> None:
    roles = sharing.listed([paint["role"] for paint in scheme["paints"]])
    with bar:
        st.html(f'<p class="g-soft">{escape(roles)}</p>', width="stretch")
        st.page_link("pages/light.py", label=words.LIGHT_PAGE, query_params={ROOM: room.id}, width="content")
        st.page_link("pages/shortlist.py", label=words.SCHEME_CHANGE, query_params={ROOM: room.id}, width="content")


main()
