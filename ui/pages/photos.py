"""The photos of a room: added, judged, removed; which one shows the whole room."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING, Any

import streamlit as st

from matcher.errors import GivensError
from matcher.service import desk
from matcher.service.photo import verdict_words
from matcher.service.room_photos import count_marks, with_whole_room
from ui import words
from ui.choosing.component import PHOTO_TYPES, send_files
from ui.header import room_page
from ui.messages import show_error, show_problems
from ui.onward import onward
from ui.saving import save
from ui.state import ROOM, Visit
from ui.swatches import levels, picture_tag

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matcher.service.records import StoredPhoto, StoredRoom

# What is asked about before it is done: the photo to remove.
_ASKED = "photo-to-remove"


def main() -> None:
    """Show the photos."""
    visit, room, _ = room_page("photos", words.PHOTOS_TITLE)
    st.html(f'<p class="g-soft">{words.PHOTOS_INTRO}</p>')
    most_mb = visit.desk.settings.upload_limit_mb
    sent = send_files(words.PHOTOS_ADD, f"/photos/{room.id}", key=f"add-{room.id}", most_mb=most_mb, accept=PHOTO_TYPES)
    show_problems(sent.problems)
    if not room.photos:
        st.write(words.NO_PHOTOS)
        with st.container(key="photos-none"):
            st.page_link("pages/brief.py", label=words.NO_PHOTOS_LINK, query_params={ROOM: room.id}, width="content")
        return
    whole = next((entry["file"] for entry in room.document.get("photos", ()) if entry.get("whole_room")), None)
    with st.container(key="photo-grid", gap=None):
        for photo in room.photos:
            with st.container(key=f"photo-{photo.sha}", gap=None):
                _photo(visit, room, photo, whole=photo.name == whole)
    desk.note_seen(visit.desk, visit.user, room, "photos")
    onward(room, "photos")


def _photo(visit: Visit, room: StoredRoom, photo: StoredPhoto, *, whole: bool) -> None:
    sender = f" <span class='g-soft g-small'>{words.BY_CLIENT}</span>" if photo.by == "client" else ""
    mark = f'<span class="g-tag whole" title="{escape(words.WHOLE_ROOM_WHY)}">{words.WHOLE_ROOM}</span>'
    st.html(
        f"{picture_tag(f'/pictures/{room.id}/{photo.sha}', photo.name)}"
        f'<div class="g-photo-head"><h3>{escape(photo.name)}{sender}</h3>{mark if whole else ""}</div>'
        f"{_verdict(verdict_words(photo.verdict))}"
    )
    if st.session_state.get(_ASKED) == photo.sha:
        _ask(visit, room, photo)
        return
    with st.container(key=f"do-{photo.sha}", horizontal=True, gap="small"):
        label = words.WHOLE_ROOM_DROP if whole else words.WHOLE_ROOM_USE
        if st.button(label, key=f"whole-{photo.sha}"):
            document = with_whole_room(room.document, None if whole else photo.name)
            if save(visit, room, document):
                st.rerun()
        st.button(words.REMOVE, key=f"remove-{photo.sha}", on_click=_ask_first, args=(photo.sha,))


def _verdict(checks: Sequence[dict[str, Any]]) -> str:
    """What needs doing stands out; what is fine is one line, which opens."""
    poor = [check for check in checks if check["level"] in ("fail", "warn")]
    fine = [check for check in checks if check not in poor]
    stands_out = "".join(
        f'<div class="g-poor"><strong>{escape(check["word"])}</strong> {escape(check["message"])}</div>'
        for check in poor
    )
    title = words.PHOTO_ELSE if poor else words.PHOTO_GOOD
    return f'{stands_out}<details class="g-fine"><summary>{title}</summary>{levels(fine)}</details>'


def _ask(visit: Visit, room: StoredRoom, photo: StoredPhoto) -> None:
    count = count_marks(room.document, photo.name)
    question = {0: words.REMOVE_SURE, 1: words.REMOVE_MARK}.get(count, words.REMOVE_MARKS).format(count=count)
    with st.container(key=f"ask-{photo.sha}", gap="small"):
        st.html(f'<p role="alert">{escape(question)}</p>')
        with st.container(horizontal=True, gap="small"):
            if st.button(words.REMOVE_YES, key=f"yes-{photo.sha}", type="primary"):
                try:
                    desk.remove_photo(visit.desk, visit.user, room.id, photo.sha)
                except GivensError as error:
                    show_error(error)
                    return
                _ask_first(None)
                st.rerun()
            st.button(words.REMOVE_NO, key=f"no-{photo.sha}", on_click=_ask_first, args=(None,))


def _ask_first(sha: str | None) -> None:
    st.session_state[_ASKED] = sha


main()
