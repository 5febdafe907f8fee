"""What this does in a sentence and three drawn steps, for whoever opens it first; put away once it is known."""

from __future__ import annotations

from contextlib import suppress
from html import escape

import streamlit as st

from matcher.errors import AwayError
from matcher.service import hints, room_list
from ui import words
from ui.desk import sample_photos
from ui.drawings import image
from ui.state import ROOM, Visit

_INK, _WASH = "#1b1b1b", "#ededed"
_LINE = f'fill="none" stroke="{_INK}" stroke-width="2.5" stroke-linejoin="round"'
_CARDS = "".join(
    f'<rect x="{x}" y="44" width="12" height="9" fill="{grey}"/>'
    for x, grey in ((22, "#ffffff"), (34, "#8a8a8a"), (46, _INK))
)
_HANDLES = "".join(
    f'<rect x="{x - 4}" y="{y - 4}" width="8" height="8" fill="#ffffff" {_LINE[_LINE.index("stroke") :]}/>'
    for x, y in ((16, 22), (58, 16), (65, 56), (25, 63))
)
_PICTURES = {
    "photograph": (
        f'<rect x="29" y="13" width="22" height="20" {_LINE}/><circle cx="40" cy="23" r="5" {_LINE}/>'
        f'<rect x="10" y="53" width="60" height="7" fill="#c8c8c8"/>{_CARDS}'
    ),
    "mark": f'<path d="M16 22L58 16L65 56L25 63Z" fill="#c8c8c8" stroke="{_INK}" stroke-width="2.5"/>{_HANDLES}',
    "choose": (
        f'<path d="M14 12h34v32H14Z" fill="#ffffff"/><path d="M14 44h17v18H14Z" fill="#c8c8c8"/>'
        f'<path d="M31 44h17v18H31Z" fill="#8a8a8a"/><path d="M14 12h34v50H14Z M14 44h34 M31 44v18" {_LINE}/>'
        f'<path d="M54 38l5 6 10-14" {_LINE}/>'
    ),
}


def show_how_it_goes(visit: Visit) -> bool:
    """Draw it, unless the consultant put it away; return whether it is there."""
    if not hints.is_shown(visit.desk, visit.user, "how it goes"):
        return False
    with st.container(key="how", horizontal=True, gap="medium"):
        with st.container(key="promise", gap=None):
            st.title(words.PROMISE, anchor=False)
            st.html(f"<p>{escape(words.PROMISE_MORE)}</p>")
        with st.container(key="how-steps", gap=None):
            st.html(f'<ol class="g-how">{"".join(_step(*step) for step in words.HOW_IT_GOES)}</ol>')
            with st.container(key="how-foot", horizontal=True, gap="medium"):
                sample = room_list.sample_room(visit.desk, visit.user, sample_photos())
                if sample:
                    label, query = words.TRY_SAMPLE, {ROOM: sample}
                    st.page_link("pages/mark.py", label=label, query_params=query, width="content")
                st.button(words.HOW_HIDE, type="tertiary", on_click=_put_away, args=(visit,))
    return True


def offer_how_it_goes(visit: Visit) -> None:
    """Draw the way back to it."""
    st.button(words.HOW_SHOW, type="tertiary", on_click=_take_out, args=(visit,))


def _step(name: str, title: str, text: str) -> str:
    drawing = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 80 76" width="80" height="76">'
        f'<rect width="80" height="76" fill="{_WASH}"/>{_PICTURES[name]}</svg>'
    )
    return f"<li>{image(drawing, '')}<div><h3>{escape(title)}</h3><p>{escape(text)}</p></div></li>"


def _put_away(visit: Visit) -> None:
    with suppress(AwayError):  # told by the page, which waits for it
        hints.put_away(visit.desk, visit.user, "how it goes")


def _take_out(visit: Visit) -> None:
    with suppress(AwayError):
        hints.take_out(visit.desk, visit.user, "how it goes")
