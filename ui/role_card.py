"""A role on the wall: what it is painted with, its shortlist to press, or what keeps it from being shown and a way."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

import streamlit as st

from matcher.service.on_the_wall import doubts_of
from ui import words
from ui.messages import show_problems
from ui.state import ROOM

if TYPE_CHECKING:
    from collections.abc import Iterable

    from matcher.service.on_the_wall import WallRole
    from matcher.service.records import StoredRoom
    from matcher.service.repainting import Repainted
    from matcher.service.showing import Repaintable
    from ui.looking import Looking

_PHOTO = "photo"  # what the page Mark calls the photo in its address


def tried_colours(roles: Iterable[WallRole]) -> str:
    """Return the style that gives every button of the cards its paint."""
    rules = "".join(
        f".st-key-try-{role.role}-{number} button {{ background: {paint.hex} !important }}"
        for role in roles
        for number, paint in enumerate(role.paints.values())
    )
    return f"<style>{rules}</style>"


def show_role(
    room: StoredRoom, shown: Repaintable, looking: Looking, role: WallRole, painted: Repainted | None
) -> None:
    """Show the card of a role beside the picture in which what is shown is ``painted``."""
    waits = role.state == "not outlined" or (role.state == "unmeasured" and role.role not in looking.guessed)
    with st.container(key=f"card-{'waits' if waits or role.state == 'cannot' else 'paints'}-{role.role}"):
        if role.state == "cannot":
            st.html(f"<h3>{escape(role.title)}</h3>")
            show_problems(role.problems)
            return
        if waits:
            _waits(room, shown, looking, role)
            return
        _painted(looking, role, painted)
        if role.state == "unmeasured":
            with st.container(key=f"way-{role.role}", horizontal=True, vertical_alignment="center"):
                _guess(looking, role)
                _way(room, shown, role, words.WALL_MEASURE)


def _waits(room: StoredRoom, shown: Repaintable, looking: Looking, role: WallRole) -> None:
    outlined = role.state == "unmeasured"
    with st.container(key=f"head-{role.role}", horizontal=True, vertical_alignment="center"):
        why = words.WALL_UNMEASURED if outlined else words.WALL_NOT_OUTLINED
        st.html(
            f'<div class="g-role"><span class="g-empty"></span><div><h3>{escape(role.title)}</h3>'
            f'<p class="g-soft g-small">{why}</p></div></div>',
            width="stretch",
        )
        if not outlined:
            _way(room, shown, role, words.WALL_OUTLINE)
    if outlined:
        with st.container(key=f"way-{role.role}", horizontal=True, vertical_alignment="center"):
            _guess(looking, role)
            _way(room, shown, role, words.WALL_MEASURE)


def _way(room: StoredRoom, shown: Repaintable, role: WallRole, label: str) -> None:
    with st.container(key=f"go-{role.role}", width="content"):
        st.page_link("pages/mark.py", label=label, query_params={ROOM: room.id, _PHOTO: shown.file}, width="content")


def _guess(looking: Looking, role: WallRole) -> None:
    st.checkbox(
        words.WALL_GUESS,
        value=role.role in looking.guessed,
        key=f"guess-{role.role}",
        on_change=looking.guess,
        args=(role.role,),
        width="stretch",
    )


def _painted(looking: Looking, role: WallRole, painted: Repainted | None) -> None:
    chosen = looking.trying(role)
    paint = role.paints[chosen]
    with st.container(key=f"head-{role.role}", horizontal=True, vertical_alignment="center"):
        st.html(
            f'<div class="g-role"><span class="g-on-{paint.ground}"><i style="background:{paint.hex}"></i></span>'
            f"<div><h3>{escape(role.title)}</h3><p><strong>{escape(paint.name)}</strong> "
            f'<span class="g-num">{escape(paint.code)} · LRV {paint.lrv:.0f}</span></p></div></div>',
            width="stretch",
        )
        st.checkbox(
            words.WALL_SHOW,
            value=looking.is_shown(role),
            key=f"show-{role.role}",
            on_change=looking.switch,
            args=(role,),
            width="content",
        )
    with st.container(key=f"tries-{role.role}", horizontal=True):
        for number, (code, offered) in enumerate(role.paints.items()):
            state = "here" if code == chosen else "there"
            with st.container(key=f"{state}-try-{role.role}-{number}"):
                st.button(
                    offered.name,
                    key=f"try-{role.role}-{number}",
                    on_click=looking.try_paint,
                    args=(role.role, code),
                    width="stretch",
                )
    lines = _doubt(role, painted)
    if lines:
        st.html(f'<p class="g-doubt g-soft">{escape(lines)}</p>')


def _doubt(role: WallRole, painted: Repainted | None) -> str:
    """Return what has to stand beside a role at all times: that nobody asked for it, and how sure its picture is."""
    doubt = doubts_of(painted.result).get(role.role) if painted else None
    said = []
    if not role.in_brief:
        said.append(words.WALL_ALSO)
    if doubt:
        form = words.WALL_DOUBT if doubt.measured else words.WALL_DOUBT_GUESS
        said.append(form.format(darker=100 * doubt.darker, brighter=100 * doubt.brighter))
    return " ".join(said)
