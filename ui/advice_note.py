"""What to measure next as one line over the shortlist, with the ways to it on demand."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

import streamlit as st

from matcher.errors import GivensError
from matcher.service import next_photo
from ui import words
from ui.messages import show_error
from ui.next_photo import show_request

if TYPE_CHECKING:
    from matcher.service.live import LiveRanking
    from matcher.service.records import StoredRoom
    from ui.state import Visit


def show_advice(visit: Visit, room: StoredRoom, ranked: LiveRanking) -> None:
    """Show what to measure next, a button to ask the client for the photo, and on demand why and what else would help;
    where a photo is asked for, how far that has come.
    """
    advice = ranked.advice
    request = next_photo.request_of(room)
    waiting = request is not None and request.state != "used"
    with st.container(key="advice", horizontal=True, vertical_alignment="center"):
        first, _, rest = advice["says"].partition(": ")
        said = f"<strong>{escape(first)}:</strong> {escape(rest)}" if rest else f"<strong>{escape(first)}</strong>"
        st.html(f'<p title="{escape(advice["says"])}">{said}</p>', width="stretch")
        photo = advice["photo"]
        if photo is not None and not waiting:
            asked = st.button(words.ASK, key="ask-photo", type="tertiary", help=photo["message"])
            if asked:
                try:
                    next_photo.ask_for_photo(visit.desk, visit.user, room, photo["kind"], photo["surface"])
                except GivensError as error:
                    show_error(error)
                else:
                    st.rerun()
        if advice["why"] or advice["others"]:
            with st.popover(words.ADVICE_OTHERS, type="tertiary"):
                _ways(advice, photo)
    if request is not None:
        show_request(visit, room)


def _ways(advice: dict[str, object], photo: dict[str, str] | None) -> None:
    ways = ""
    if advice["why"]:
        ways += f"<h3>{words.ADVICE_FIRST}</h3><p>{escape(str(advice['says']))} {escape(str(advice['why']))}</p>"
    if photo is not None:
        ways += f"<p>{escape(words.ASK_FOR.format(action=photo['message']))}</p>"
    others = advice["others"]
    if isinstance(others, list) and others:
        items = "".join(f"<li>{escape(action['text'])}</li>" for action in others)
        ways += f"<h3>{words.ADVICE_ELSE}</h3><ul>{items}</ul>"
    st.html(ways)
