"""Who is looking, and at which room. Every page asks here: none may lean on what another page set up."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import streamlit as st

from matcher.errors import AwayError, GivensError
from ui import words
from ui.cookies import SESSION_COOKIE
from ui.desk import the_desk
from ui.messages import show_error
from ui.private_link import VISIT
from ui.visitors import link_token

if TYPE_CHECKING:
    from matcher.service.desk import Desk
    from matcher.service.records import StoredRoom, User

ROOM = "room"
# What a browser says when it opens the socket: a word of Streamlit's, a token, the session before if there was one.
_SOCKET_WORDS, _FIRST_TIME = "sec-websocket-protocol", 2


@dataclass(frozen=True, slots=True)
class Visit:
    """A consultant at the desk; ``guarded`` tells whether a passphrase was asked for."""

    desk: Desk
    user: User
    guarded: bool


def is_connected_again() -> bool:
    """Tell whether the page was open when this session began: the browser names the session it had before."""
    return len(st.context.headers.get(_SOCKET_WORDS, "").split(",")) > _FIRST_TIME


def consultant() -> Visit | None:
    """Return the visit of whoever is signed in; before the first account, of whoever sits at this machine."""
    from matcher.service import access

    desk = the_desk()
    if not access.has_users(desk):
        return Visit(desk, access.local_user(desk), guarded=False)
    cookie = st.context.cookies.get(SESSION_COOKIE)
    user = access.user_of(desk, cookie) if isinstance(cookie, str) else None
    return Visit(desk, user, guarded=True) if user else None


def householder() -> tuple[str, str]:
    """Return the id of the link that the address names, and its token, "" where this browser did not open it."""
    visit = st.query_params.get(VISIT, "")
    return visit, link_token(st.context.cookies, visit)


def need_consultant() -> Visit:
    """Return the visit, or show where to sign in and stop the page."""
    visit = consultant()
    if visit is None:
        st.html(f'<p class="g-mark">{words.NAME}</p>')
        st.title(words.SIGN_IN_FIRST, anchor=False)
        st.html(f'<p><a href="/sign-in" target="_self">{words.SIGN_IN}</a></p>')
        st.stop()
    return visit


def need_room(visit: Visit) -> StoredRoom:
    """Return the room that the address names, freshly read, or say that it is not there and stop the page."""
    from matcher.service.desk import load_room

    try:
        return load_room(visit.desk, visit.user, st.query_params.get(ROOM, ""))
    except AwayError:
        raise  # told for all pages in ui/away.py
    except GivensError as error:
        st.html(f'<p class="g-mark">{words.NAME}</p>')
        st.title(words.ROOM_GONE, anchor=False)
        show_error(error)
        with st.container(key="onward", horizontal=True):
            st.page_link("pages/rooms.py", label=words.TO_ROOMS, width="content")
        st.stop()
