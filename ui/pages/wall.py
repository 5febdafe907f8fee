"""The client's own room in another paint: the photo repainted, before and after."""

from __future__ import annotations

from typing import TYPE_CHECKING
from urllib.parse import urlencode

import streamlit as st

from matcher.errors import GivensError, UnmeasuredError
from matcher.service import choices, showing
from matcher.service.photo import verdict_words
from ui import words
from ui.before_after import before_after
from ui.header import room_page
from ui.messages import show_error, show_note
from ui.state import Visit, need_ranked
from ui.swatches import levels, swatch

if TYPE_CHECKING:
    from matcher.service.records import StoredRoom
    from matcher.service.repainting import Repainted


def main() -> None:
    """Show the room before and after."""
    visit, room, _ = room_page("wall", words.STEPS["wall"])
    shown = showing.repaintable(room)
    if shown is None:
        show_note(words.WALL_NOTHING)
        return
    ranked = need_ranked(visit, room, words.SHORTLIST_NOTHING)
    left, right = st.columns([1, 3], gap="large")
    with left:
        role = st.radio(words.WALL_ROLE, shown.roles, format_func=choices.ROLES.__getitem__)
        offered = showing.paints_for(ranked, role)
        code = st.radio(words.WALL_PAINT, list(offered), format_func=lambda one: offered[one]["label"])
        paint = offered[code]
        st.html(f'<div class="g-ground">{swatch(paint)}</div>')
    with right:
        painted, guess = _painted(visit, room, role, code)
        if painted is None:
            return
        asked = {"role": role, "code": code, "revision": room.revision, **({"guess": 1} if guess else {})}
        before_after(
            f"/pictures/{room.id}/{shown.sha}",
            f"/repainted/{room.id}?" + urlencode(asked),
            before_word=words.WALL_BEFORE,
            after_word=words.WALL_GUESSED if guess else words.WALL_AFTER,
            slider_word=words.WALL_SLIDER,
            key="before-after",
        )
        st.html(levels([check for check in verdict_words(painted.result) if check["level"] != "ok"]))
        st.caption(words.WALL_NOTE)


def _painted(visit: Visit, room: StoredRoom, role: str, code: str) -> tuple[Repainted | None, bool]:
    """Return the picture, None where there is none to show, and whether it is a guess: only for who asks for one."""
    guess = False
    try:
        try:
            return showing.repainted(visit.desk, room, role, code), guess
        except UnmeasuredError as error:
            show_error(error)
            guess = st.checkbox(words.WALL_GUESS, key=f"guess-{room.id}-{role}")
        return (showing.repainted(visit.desk, room, role, code, guess=True) if guess else None), guess
    except GivensError as error:
        show_error(error)
        return None, guess


main()
