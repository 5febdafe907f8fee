"""The client's private link on the consultant's desk: made, shown once with its code and a text, closed."""

from __future__ import annotations

import time
from datetime import UTC, datetime
from html import escape
from typing import TYPE_CHECKING, Literal

import streamlit as st

from matcher.service import client
from matcher.service.public_address import base_of, reach_of
from matcher.service.qr_code import qr_svg
from ui import words
from ui.copying import copy_text
from ui.drawings import image
from ui.private_link import PROBE, link_address

if TYPE_CHECKING:
    from matcher.service.public_address import Reach
    from matcher.service.records import LinkSummary, StoredRoom
    from ui.state import Visit

# Assumption: a web server is not set up anew more often than one would wait to see.
_TRIED_FOR_S = 60


def show_link(visit: Visit, room: StoredRoom, *, about: Literal["photos", "scheme"]) -> None:
    """Show the link that is open, or offer to make one; ``about`` is what the client is written to for."""
    every = client.links(visit.desk, visit.user, room.id)
    now = datetime.now(UTC)
    live = [link for link in every if link.revoked is None and link.expires > now]
    token = st.session_state.get(_key(room))
    if not live:
        st.html(f'<p class="g-small">{words.LINK_INTRO}</p>')
        if st.button(words.LINK_MAKE, key=f"make-link-{room.id}"):
            make_link(visit, room)
            st.rerun()
    elif token:
        _shown(visit, room, token, live[-1], about)
    else:
        st.html(
            f'<p class="g-small">{words.LINK_OPEN.format(expires=live[-1].expires)} {_used(live[-1])} '
            f"{words.LINK_NOT_KEPT}</p>"
        )
    if live:
        with st.container(key=f"link-acts-{room.id}", horizontal=True):
            if not token and st.button(words.LINK_AGAIN, key=f"again-link-{room.id}"):
                make_link(visit, room)
                st.rerun()
            close = words.LINK_REVOKE if len(live) == 1 else words.LINK_REVOKE_ALL.format(count=len(live))
            if st.button(close, key=f"revoke-{room.id}"):
                for link in live:
                    client.revoke_link(visit.desk, visit.user, link.id)
                st.session_state.pop(_key(room), None)
                st.rerun()
    over = [link for link in every if link not in live]
    if over:
        with st.expander(words.LINK_OVER.format(count=len(over))):
            st.html("".join(f'<p class="g-small">{escape(_state(link))}</p>' for link in reversed(over)))


def has_link(visit: Visit, room: StoredRoom) -> bool:
    """Tell whether a link to the room is open."""
    now = datetime.now(UTC)
    return any(link.revoked is None and link.expires > now for link in client.links(visit.desk, visit.user, room.id))


def make_link(visit: Visit, room: StoredRoom) -> None:
    """Make a link; its address is known to this page alone, while it is open."""
    st.session_state[_key(room)] = client.make_link(visit.desk, visit.user, room.id)


def _shown(visit: Visit, room: StoredRoom, token: str, link: LinkSummary, about: Literal["photos", "scheme"]) -> None:
    address = link_address(base_of(visit.desk, _here(visit)), token)
    with st.container(key="link-shown", horizontal=True, vertical_alignment="top"):
        with st.container(key="link-words"):
            st.html(f'<p class="g-small">{words.LINK_UNTIL.format(expires=link.expires)} {_used(link)}</p>')
            copy_text(address, label=words.LINK_ADDRESS, key=f"copy-link-{room.id}")
            st.html(f'<p class="g-small"><strong>{words.LINK_REACH[_reach(visit)]}</strong> {words.LINK_ONCE}</p>')
        st.html(f'<div class="g-code">{image(qr_svg(address), words.LINK_CODE)}</div>', width="content")
    with st.expander(words.LINK_MESSAGE):
        text = words.LINK_TEXT[about].format(room=room.name, address=address)
        copy_text(text, label=words.LINK_MESSAGE, lines=5, key=f"copy-text-{room.id}-{about}")


def _reach(visit: Visit) -> Reach:
    """How far the address reaches, tried anew once a minute."""
    tried: tuple[float, Reach] | None = st.session_state.get("link-reach")
    if tried is None or time.monotonic() - tried[0] > _TRIED_FOR_S:
        tried = (time.monotonic(), reach_of(visit.desk, _here(visit), probe=PROBE))
        st.session_state["link-reach"] = tried
    return tried[1]


def _here(visit: Visit) -> str:
    """The address of this page; where the browser does not say, that of this machine."""
    return st.context.url or f"http://localhost:{visit.desk.settings.port}/"


def _used(link: LinkSummary) -> str:
    return words.LINK_USED.format(used=link.last_used) if link.last_used else words.LINK_UNUSED


def _state(link: LinkSummary) -> str:
    state = words.LINK_REVOKED if link.revoked else words.LINK_EXPIRED
    return words.LINK_STATE.format(created=link.created, expires=link.expires, state=state)


def _key(room: StoredRoom) -> str:
    return f"link-{room.id}"
