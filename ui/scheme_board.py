"""The board of the scheme: the room in it, its paints stacked with what stays, and what one can do with each paint."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING, Any

import streamlit as st

from matcher.service import sharing, showing
from matcher.service.scheme_choices import with_paint, without_choice, without_paint
from ui import words
from ui.paint_link import PAGE, paint_query
from ui.share_card import scheme_address
from ui.state import ROOM
from ui.swatches import band, pixels_of, titled
from ui.taking import take

if TYPE_CHECKING:
    from collections.abc import Mapping

    from matcher.service import live
    from matcher.service.painted_room import PaintedRoom
    from matcher.service.records import StoredRoom
    from ui.state import Visit

Json = dict[str, Any]


def show_board(
    visit: Visit, room: StoredRoom, ranked: live.LiveRanking, pixels: Mapping[str, bytes], picture: PaintedRoom
) -> None:
    """Show the room in the scheme, and the paints stacked with what stays, each named beside its stripe."""
    scheme = ranked.scheme
    pictured = showing.repaintable(room) is not None
    with st.container(key="board" if pictured else "board-bare"):
        if pictured:
            st.html(_room_picture(room, scheme, picture))
        with st.container(key="stack", gap=None):
            for paint in scheme["paints"]:
                _stripe(visit, room, paint)
            st.html("".join(_staying(surface, pixels) for surface in ranked.staying))
    with st.container(key="scheme-paints", horizontal=True):
        for code, name in {paint["code"]: paint["name"] for paint in scheme["paints"]}.items():
            label = words.PAINT_CLOSELY_NAMED.format(name=name)
            st.page_link(PAGE, label=label, query_params=paint_query(room, code, "scheme"), width="content")
    _not_painted(room, scheme, picture)


def _stripe(visit: Visit, room: StoredRoom, paint: Json) -> None:
    """Show a paint beside its role and name, to be kept or let go, or never to be used here."""
    role, name, code = paint["id"], paint["name"], paint["code"]
    chosen = f'<b class="s-pinned">{words.SCHEME_PINNED}</b>' if paint["pinned"] else ""
    with st.container(key=f"stripe-{role}"):
        st.html(f'<span style="background:{paint["hex"]}" role="img" aria-label="{escape(name)}"></span>')
        with st.container(key=f"named-{role}", gap=None):
            st.html(
                f'<p>{escape(paint["role"])} {chosen}<br><strong class="g-serif">{escape(name)}</strong>'
                f'<br><span class="g-num">{escape(code)} · LRV {paint["lrv"]:.0f}</span></p>'
            )
            with st.container(key=f"acts-{role}", horizontal=True, gap="small"):
                title = paint["role"].lower()
                if paint["pinned"]:
                    if st.button(words.SCHEME_LET_GO, key=f"let-go-{role}", help=words.SCHEME_LET_GO_HELP):
                        said = words.SCHEME_FREE.format(role=title)
                        take(visit, room, without_choice(room.document, role), said)
                elif st.button(words.SCHEME_KEEP, key=f"keep-{role}", help=words.SCHEME_KEEP_HELP):
                    said = words.SCHEME_KEPT.format(name=name, role=title)
                    take(visit, room, with_paint(room.document, role, code), said)
                if st.button(words.SCHEME_ANOTHER, key=f"another-{role}", help=words.SCHEME_ANOTHER_HELP):
                    take(visit, room, without_paint(room.document, code), words.SCHEME_AVOIDED.format(name=name))


def _staying(surface: Json, pixels: Mapping[str, bytes]) -> str:
    shown = pixels_of(surface, pixels) + band(surface)
    return f'<div class="s-stays"><span>{shown}</span><p>{escape(titled(surface["name"]))}</p></div>'


def _room_picture(room: StoredRoom, scheme: Json, picture: PaintedRoom) -> str:
    painted = [paint["role"].lower() for paint in scheme["paints"] if paint["id"] in picture.painted]
    said = words.SCHEME_PICTURE.format(roles=sharing.listed(painted)) if painted else words.SCHEME_AS_IT_IS
    return (
        f'<figure class="s-room"><img src="{escape(scheme_address(room, scheme["paints"]))}" alt="{escape(said)}">'
        f"<figcaption>{escape(said)}</figcaption></figure>"
    )


def _not_painted(room: StoredRoom, scheme: Json, picture: PaintedRoom) -> None:
    """Say which roles the picture does not show in their paint and why, with the way to where it is mended."""
    titles = {paint["id"]: paint["role"] for paint in scheme["paints"]}
    lines = [
        why.format(roles=sharing.listed(titles[role].lower() for role in roles))
        for roles, why in (
            (picture.unmeasured, words.SCHEME_UNMEASURED),
            (picture.not_outlined, words.SCHEME_NO_OUTLINE),
        )
        if roles
    ]
    if lines:
        with st.container(key="not-painted", horizontal=True, vertical_alignment="center"):
            st.html(f'<p class="g-small g-soft">{escape(" ".join(lines))}</p>', width="stretch")
            st.page_link("pages/mark.py", label=words.SCHEME_TO_MARK, query_params={ROOM: room.id}, width="content")
