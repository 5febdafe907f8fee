"""What stands round a paint: a small map, its neighbours by name, what its surroundings do to it, quiet partners."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING, Any

import streamlit as st

from matcher.errors import GivensError
from matcher.service.neighbours import map_drawing, nearest_around, neighbours_in_room
from ui import words
from ui.drawings import image
from ui.messages import show_error
from ui.paint_link import PAGE, paint_query
from ui.swatches import chip

if TYPE_CHECKING:
    from matcher.service.records import StoredRoom
    from ui.state import Visit

Json = dict[str, Any]


def show_neighbours(visit: Visit, room: StoredRoom, came: str, code: str) -> None:
    """Show them, or one message why not."""
    st.html(f'<h3 class="p-section">{words.PAINT_NEIGHBOURS}</h3>')
    try:
        found = neighbours_in_room(visit.desk, room, code)
    except GivensError as error:
        show_error(error)
        return
    drawing = map_drawing(found)
    st.html(f'<div class="p-map">{image(drawing.svg, drawing.alt)}</div>')
    for number, paint in enumerate(nearest_around(found)):
        _paint(f"neighbour-{number}", room, came, paint)
    _surroundings(found)
    st.html(f'<h3 class="p-section">{words.PAINT_PARTNERS}</h3>')
    if found["no_partner"]:
        st.html(f'<p class="g-soft">{escape(found["no_partner"])}</p>')
    for number, paint in enumerate(found["partners"]):
        _paint(f"partner-{number}", room, came, paint)


def _paint(key: str, room: StoredRoom, came: str, paint: Json) -> None:
    """Show a paint, a link to its own page, and the step to it in words."""
    with st.container(key=key, horizontal=True, vertical_alignment="center", gap="small"):
        st.html(chip(paint["hex"]), width="content")
        label = f"{paint['name'] or paint['code']} {paint['code']}"
        st.page_link(PAGE, label=label, query_params=paint_query(room, paint["code"], came), width="content")
        st.html(f'<p class="g-soft">{escape(paint["says"])}</p>', width="stretch")


def _surroundings(found: Json) -> None:
    said = [push["says"] for push in found["pushes"] if push["claim"]]
    lines = "".join(f"<li>{escape(text)}</li>" for text in (*said, found["no_push"]) if text)
    caution = f'<p class="g-soft">{escape(found["caution"])}</p>' if found["caution"] else ""
    st.html(
        f'<h3 class="p-section">{words.PAINT_AROUND}</h3><ul class="p-around">{lines}'
        f"<li>{escape(found['area']['says'])}</li></ul>{caution}"
    )
