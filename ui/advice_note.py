"""What to measure next as one line over the shortlist, with the ways to it on demand."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape
from typing import TYPE_CHECKING, Any

import streamlit as st

from matcher.errors import GivensError
from matcher.service import next_photo
from ui import words
from ui.messages import show_error

if TYPE_CHECKING:
    from matcher.service.live import LiveRanking
    from matcher.service.records import StoredRoom
    from ui.state import Visit

Json = Mapping[str, Any]


def show_advice(visit: Visit, room: StoredRoom, ranked: LiveRanking) -> None:
    """Show what to measure next, a button to ask the client for the photo, and on demand why and what else would help;
    while a photo is asked for, how far that has come instead.
    """
    advice = ranked.advice
    request = next_photo.request_of(room)
    asked = {} if request is None else {"action": request.text, "photos": ", ".join(request.photos)}
    waiting = request is not None and request.state != "used"
    told = "" if request is None else words.ASKED[request.state].format(**asked)
    with st.container(key="advice", horizontal=True, vertical_alignment="center"):
        _line(told if waiting else advice["says"])
        try:
            if waiting:
                if st.button(words.ASK_WITHDRAW, key="withdraw-photo", type="tertiary"):
                    next_photo.withdraw_request(visit.desk, visit.user, room.id)
                    st.rerun()
            elif advice["photo"] is not None and st.button(words.ASK, key="ask-photo", type="tertiary"):
                photo = advice["photo"]
                next_photo.ask_for_photo(visit.desk, visit.user, room, photo["kind"], photo["surface"])
                st.rerun()
        except GivensError as error:
            show_error(error)
        with st.popover(words.ADVICE_OTHERS, type="tertiary"):
            st.html(_ways(advice, "" if waiting else told))


def _line(text: str) -> None:
    """Show one line, what comes before its colon bold; what is cut off can be read by pointing at it."""
    first, colon, rest = text.partition(": ")
    bold = f"<strong>{escape(first)}{colon.strip()}</strong> {escape(rest)}" if colon else escape(first)
    st.html(f'<p title="{escape(text)}">{bold}</p>', width="stretch")


def _ways(advice: Json, told: str) -> str:
    """Return why this comes first, by which photo, what else would help, and what was ``told`` of an earlier one."""
    parts = [f"<p>{escape(told)}</p>"] if told else []
    parts.append(f"<h3>{words.ADVICE_FIRST}</h3><p>{escape(advice['says'])} {escape(advice['why'])}</p>")
    if advice["photo"] is not None:
        parts.append(f"<p>{escape(words.ASK_FOR.format(action=advice['photo']['message']))}</p>")
    if advice["others"]:
        items = "".join(f"<li>{escape(action['text'])}</li>" for action in advice["others"])
        parts.append(f"<h3>{words.ADVICE_ELSE}</h3><ul>{items}</ul>")
    return "".join(parts)
