"""Handing over: the client's document, the painter's schedule, swatches for other programs, and the room as a file."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

from matcher.errors import GivensError
from matcher.service.handed_files import check_letterhead
from ui import words
from ui.messages import show_error

if TYPE_CHECKING:
    from matcher.service.records import StoredRoom
    from ui.state import Visit


def show_handover(visit: Visit, room: StoredRoom) -> None:
    """Show what can be handed over of the scheme as it stands; each file is made when it is asked for."""
    st.html(f'<h2 class="s-head">{words.HANDOVER}</h2><p class="g-small g-soft">{words.HANDOVER_NOTE}</p>')
    try:
        check_letterhead(visit.desk)
    except GivensError as error:
        show_error(error)
        groups = words.HANDOVER_ROOM_FILES
    else:
        groups = (*words.HANDOVER_FILES, *words.HANDOVER_ROOM_FILES)
    rows = "".join(f"<li><span>{title}</span><span>{_links(room, files)}</span></li>" for title, files in groups)
    st.html(f'<ul class="s-files">{rows}</ul>')
    if room.document.get("rooms"):
        st.html(f'<p class="g-small g-soft">{words.ZIP_WITHOUT_ROOMS}</p>')


def _links(room: StoredRoom, files: tuple[tuple[str, str], ...]) -> str:
    return " ".join(f'<a href="{address.format(room=room.id)}"{_tab(address)}>{label}</a>' for label, address in files)


def _tab(address: str) -> str:
    """Return what opens a page beside the app; a file is taken without leaving it."""
    return ' target="_blank"' if address.startswith("/report/") else ""
