"""The householder's page behind a private link: how to photograph, sending photos, the brief, what was shared."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING, Any

import streamlit as st

from matcher.errors import GivensError
from matcher.service import client
from matcher.service.next_photo import client_request
from matcher.service.photo import verdict_words
from ui import words
from ui.choosing.component import PHOTO_TYPES, send_files
from ui.desk import the_desk
from ui.drawings import asked_photo, how_to_photograph
from ui.forms import ask_roles, ask_room, ask_warmth
from ui.messages import householder_problems, show_note, show_problems
from ui.state import householder
from ui.style import dress
from ui.swatches import band, levels, paint_text, picture_tag, swatch

if TYPE_CHECKING:
    from matcher.service.records import Choice, ClientRoom


# Of what is merely noted this alone is of use to somebody with a card in the hand.
_CARDS = "cards"


def main() -> None:
    """Show the page of one link, or say that it opens nothing."""
    dress(words.CLIENT_TITLE)
    visit, token = householder()
    try:
        room = client.client_room(the_desk(), token)
    except GivensError:
        st.title(words.CLIENT_GONE)
        st.write(words.CLIENT_GONE_WHY)
        return
    st.html(f'<p class="g-soft" style="margin:0">{escape(room.name)}</p>')
    if room.shared:
        _shared(token, room)
    _asked(room)
    st.title(words.CLIENT_TITLE)
    st.html(how_to_photograph())
    _send(visit, room)
    _brief(token, room)
    if not room.shared:
        st.header(words.CLIENT_SHARED)
        st.write(words.CLIENT_NOT_YET)


def _asked(room: ClientRoom) -> None:
    request = client_request(room)
    if request is None:
        return
    if request.state == "come":
        show_note(words.CLIENT_ASKED_COME)
        return
    st.title(words.CLIENT_ASKED)
    drawing, text = st.columns([2, 3], gap="small", vertical_alignment="center")
    drawing.html(asked_photo(request.kind, request.surface))
    with text:
        st.html(f'<p class="g-lede">{escape(request.text)}</p><p class="g-soft">{words.CLIENT_ASKED_WHY}</p>')


def _send(visit: str, room: ClientRoom) -> None:
    st.header(words.CLIENT_SEND)
    most_mb = the_desk().settings.upload_limit_mb
    sent = send_files(words.CLIENT_CHOOSE, f"/client-photos/{visit}", key="send", most_mb=most_mb, accept=PHOTO_TYPES)
    st.caption(words.CLIENT_PRIVATE)
    show_problems(sent.problems)
    for photo in reversed(room.photos):
        checks = verdict_words(photo.verdict)
        again = any(check["level"] in ("warn", "fail") for check in checks)
        picture, verdict = st.columns([1, 2], gap="medium")
        picture.html(picture_tag(f"/client-pictures/{visit}/{photo.sha}", photo.name))
        title = words.CLIENT_BETTER if again else words.CLIENT_FINE
        shown = [check for check in checks if check["level"] in ("warn", "fail") or check["check"] == _CARDS]
        verdict.html(f"<h3>{title}</h3><p class='g-soft'>{escape(photo.name)}</p>{levels(shown)}")


def _brief(token: str, room: ClientRoom) -> None:
    st.header(words.CLIENT_NEED)
    before = room.brief
    with st.form("client-brief"):
        known = ask_room(before)
        stays = st.text_input(words.CLIENT_STAYS, ", ".join(before.get("stays", ())), max_chars=400)
        roles = ask_roles(before.get("may_be_painted", ["walls"]))
        warmth = ask_warmth(before.get("warmth"))
        dislikes = st.text_area(words.CLIENT_DISLIKES, before.get("dislikes", ""), max_chars=1000)
        if st.form_submit_button(words.SAVE, type="primary"):
            brief: dict[str, Any] = {
                **known, "warmth": warmth, "dislikes": dislikes,
                "stays": [part.strip() for part in stays.split(",") if part.strip()], "may_be_painted": roles,
            }  # fmt: skip
            try:
                client.save_brief(the_desk(), token, {key: value for key, value in brief.items() if value})
            except GivensError as error:
                show_problems(householder_problems(error))
            else:
                show_note(words.CLIENT_BRIEF_SAVED)


def _shared(token: str, room: ClientRoom) -> None:
    shared = room.shared or {}
    st.title(words.CLIENT_SHARED)
    if shared.get("remark"):
        show_note(shared["remark"])
    stays = "".join(band(surface) for surface in shared["surfaces"])
    for paint in shared["paints"]:
        st.html(
            f'<div class="g-ground">{swatch(paint, "tall")}<div class="g-strip">{stays}</div></div>{paint_text(paint)}'
        )
    st.header(words.CLIENT_ANSWER)
    if room.answers:
        last = room.answers[-1]
        show_note(f"{words.CHOICE_WORDS[last.choice]}. {words.CLIENT_ANSWERED}")
    with st.form("answer", clear_on_submit=True):
        choice: Choice | None = st.radio(
            words.CLIENT_ANSWER, list(words.CHOICE_WORDS), format_func=words.CHOICE_WORDS.__getitem__,
            label_visibility="collapsed", index=None,
        )  # fmt: skip
        note = st.text_area(words.CLIENT_NOTE, max_chars=2000)
        if st.form_submit_button(words.CLIENT_SEND_ANSWER, type="primary") and choice:
            try:
                client.answer(the_desk(), token, choice, note)
            except GivensError as error:
                show_problems(householder_problems(error))
            else:
                st.rerun()


main()
