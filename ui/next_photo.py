"""What to measure next, and the photo that the client is asked for, as the consultant's pages show them."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

import streamlit as st

from matcher.errors import GivensError
from matcher.service import next_photo
from ui import words
from ui.messages import show_error, show_note

if TYPE_CHECKING:
    from matcher.service.live import LiveRanking
    from matcher.service.records import StoredRoom
    from ui.state import Visit


def show_advice(visit: Visit, room: StoredRoom, ranked: LiveRanking) -> None:
    """Show what to measure next, what else would help, and a button to ask the client for the photo."""
    advice = ranked.advice
    why = f" {escape(advice['why'])}" if advice["why"] else ""
    st.html(f'<div class="g-note"><p><strong>{escape(advice["says"])}</strong>{why}</p></div>')
    if advice["others"]:
        with st.expander(words.ADVICE_OTHERS):
            st.html("<ul>" + "".join(f"<li>{escape(action['text'])}</li>" for action in advice["others"]) + "</ul>")
    request = next_photo.request_of(room)
    photo = advice["photo"]
    if photo is None or (request is not None and request.state != "used"):
        show_request(visit, room)
        return
    text, button = st.columns([3, 1], vertical_alignment="center")
    text.write(words.ASK_FOR.format(action=photo["message"]))
    if button.button(words.ASK, key="ask-photo", width="stretch"):
        try:
            next_photo.ask_for_photo(visit.desk, visit.user, room, photo["kind"], photo["surface"])
        except GivensError as error:
            show_error(error)
        else:
            st.rerun()


def show_request(visit: Visit, room: StoredRoom) -> None:
    """Show what the client is asked for and whether it has come; nothing where nothing is asked."""
    request = next_photo.request_of(room)
    if request is None:
        return
    state = words.ASKED[request.state].format(action=request.text, photos=", ".join(request.photos))
    if request.state == "used":
        show_note(state)
        return
    text, button = st.columns([3, 1], vertical_alignment="center")
    with text:
        show_note(state)
    if button.button(words.ASK_WITHDRAW, key="withdraw-photo", width="stretch"):
        try:
            next_photo.withdraw_request(visit.desk, visit.user, room.id)
        except GivensError as error:
            show_error(error)
        else:
            st.rerun()
