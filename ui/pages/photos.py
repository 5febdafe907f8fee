"""The photos of a room: added, judged, removed; which one shows the whole room."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING, Any

import streamlit as st

from matcher.service import desk
from matcher.service.photo import verdict_words
from ui import words
from ui.choosing.component import PHOTO_TYPES, send_files
from ui.header import room_page
from ui.messages import show_problems
from ui.saving import save
from ui.state import Visit
from ui.swatches import levels

if TYPE_CHECKING:
    from matcher.service.records import StoredPhoto, StoredRoom


def main() -> None:
    """Show the photos."""
    visit, room, _ = room_page("photos", words.PHOTOS_TITLE)
    st.write(words.PHOTOS_INTRO)
    most_mb = visit.desk.settings.upload_limit_mb
    sent = send_files(words.PHOTOS_ADD, f"/photos/{room.id}", key=f"add-{room.id}", most_mb=most_mb, accept=PHOTO_TYPES)
    show_problems(sent.problems)
    if not room.photos:
        st.write(words.NO_PHOTOS)
    for photo in room.photos:
        _photo(visit, room, photo)
    desk.note_seen(visit.desk, visit.user, room, "photos")


def _photo(visit: Visit, room: StoredRoom, photo: StoredPhoto) -> None:
    picture, verdict = st.columns([2, 3], gap="large")
    with picture:
        st.html(
            f'<img class="g-photo" src="/pictures/{room.id}/{photo.sha}" alt="{escape(photo.name)}" loading="lazy">'
        )
    with verdict:
        sender = f" <span class='g-soft'>{words.BY_CLIENT}</span>" if photo.by == "client" else ""
        st.html(f"<h3>{escape(photo.name)}{sender}</h3>{levels(verdict_words(photo.verdict))}")
        entry: dict[str, Any] = next((e for e in room.document.get("photos", ()) if e["file"] == photo.name), {})
        whole = st.checkbox(words.WHOLE_ROOM, bool(entry.get("whole_room")), key=f"whole-{photo.sha}")
        if whole != bool(entry.get("whole_room")):
            photos = [
                {**{k: v for k, v in e.items() if k != "whole_room" or not whole},
                 **({"whole_room": whole} if e["file"] == photo.name else {})}
                for e in room.document.get("photos", ())
            ]  # fmt: skip
            if save(visit, room, {**room.document, "photos": photos}):
                st.rerun()
        if st.button(words.REMOVE, key=f"remove-{photo.sha}"):
            desk.remove_photo(visit.desk, visit.user, room.id, photo.sha)
            st.rerun()


main()
