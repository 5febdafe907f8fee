"""The householder's page behind a private link: their room as it is suggested, and their answer; photos and a brief."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING, Any

import streamlit as st

from matcher.errors import AwayError, GivensError
from matcher.service import choices, client
from matcher.service.next_photo import client_request
from matcher.service.photo_for_client import verdict_for_client
from matcher.service.records import RoleAnswer
from matcher.service.sharing import AFTER, BEFORE, DOCUMENT, OTHER, listed
from ui import words
from ui.choosing.component import PHOTO_TYPES, send_files
from ui.desk import the_desk
from ui.drawings import asked_photo, how_to_photograph
from ui.forms import ask_room
from ui.messages import householder_problems, show_note, show_problems
from ui.own_room import own_room
from ui.shared_page import headline, other_ways, paint_board, section, to_keep, what_next
from ui.state import householder
from ui.style import dress
from ui.swatches import picture_tag

if TYPE_CHECKING:
    from matcher.service.records import Answer, ClientRoom, Share

_ANSWERED = "answered"


def main() -> None:
    """Show the page of one link, or say that it opens nothing."""
    dress(words.CLIENT_TITLE)
    visit, token = householder()
    try:
        room = client.client_room(the_desk(), token)
    except AwayError:
        raise  # told for all pages in ui/away.py
    except GivensError:
        st.title(words.CLIENT_GONE, anchor=False)
        st.write(words.CLIENT_GONE_WHY)
        return
    with st.container(key="phone"):
        if room.share is None:
            st.html(f'<p class="g-soft c-from">{escape(room.name)}</p>')
            _asked(room)
            st.title(words.CLIENT_TITLE, anchor=False)
            st.html(f'<p class="g-lede">{words.CLIENT_INTRO}</p>')
            st.html(f"{section(words.CLIENT_HOW)}{how_to_photograph()}")
            _send(visit, room)
            _brief(token, room)
            st.html(f'<p class="g-soft">{words.CLIENT_NOT_YET}</p>')
            return
        _shared(visit, token, room, room.share)
        _asked(room)
        _send(visit, room)
        with st.expander(words.CLIENT_HOW):
            st.html(how_to_photograph())
        _brief(token, room)


def _asked(room: ClientRoom) -> None:
    request = client_request(room)
    if request is None:
        return
    if request.state == "come":
        show_note(words.CLIENT_ASKED_COME)
        return
    st.html(
        f'<div class="c-asked"><h2>{words.CLIENT_ASKED}</h2>{asked_photo(request.kind, request.surface)}'
        f'<p class="g-lede">{escape(request.text)}</p><p class="g-soft">{words.CLIENT_ASKED_WHY}</p></div>'
    )


def _send(visit: str, room: ClientRoom) -> None:
    st.html(section(words.CLIENT_SEND))
    most_mb = the_desk().settings.upload_limit_mb
    sent = send_files(
        words.CLIENT_CHOOSE, f"/client-photos/{visit}", key="send", most_mb=most_mb, accept=PHOTO_TYPES,
        camera=words.CLIENT_CAMERA,
    )  # fmt: skip
    st.html(f'<p class="g-soft">{words.CLIENT_PRIVATE}</p>')
    show_problems(sent.problems)
    rows = []
    for number, photo in reversed(list(enumerate(room.photos, start=1))):
        told = verdict_for_client(room, photo)
        lines = "".join(f"<p>{escape(line)}</p>" for line in told.lines)
        rows.append(
            f'<li class="{"again" if told.again else "good"}">'
            f"{picture_tag(f'/client-pictures/{visit}/{photo.sha}', photo.name)}"
            f"<div><h3>{words.CLIENT_PHOTO.format(number=number)} "
            f"<strong>{words.CLIENT_BETTER if told.again else words.CLIENT_FINE}</strong></h3>{lines}</div></li>"
        )
    if rows:
        st.html(f'<ul class="c-photos">{"".join(rows)}</ul>')


def _brief(token: str, room: ClientRoom) -> None:
    st.html(section(words.CLIENT_NEED, words.CLIENT_NEED_NOTE))
    before = room.brief
    shown: dict[str, Any] = {"may_be_painted": list(before.get("may_be_painted", room.wished))}
    with st.form("client-brief", border=False):
        known = ask_room(before)
        stays = st.text_input(words.CLIENT_STAYS, ", ".join(before.get("stays", ())), max_chars=400)
        st.html(f'<p class="c-ask">{words.CLIENT_ROLES}</p><p class="g-soft">{words.CLIENT_ROLES_NOTE}</p>')
        with st.container(key="c-roles"):
            roles = [
                role
                for role, title in choices.ROLES.items()
                if st.checkbox(title, role in shown["may_be_painted"], key=f"paint-{role}", width="stretch")
            ]
        warmths = list(words.WARMTH_WORDS)
        warmth = st.radio(
            words.CLIENT_WARMTH, warmths, warmths.index(before["warmth"]) if "warmth" in before else None,
            format_func=words.WARMTH_WORDS.__getitem__, horizontal=True, width="stretch",
        )  # fmt: skip
        dislikes = st.text_area(words.CLIENT_DISLIKES, before.get("dislikes", ""), max_chars=1000)
        if st.form_submit_button(
            words.CLIENT_SEND_BRIEF, type="primary" if room.share is None else "secondary", width="stretch"
        ):
            given: dict[str, Any] = {
                **known, "warmth": warmth, "dislikes": dislikes.strip(),
                "stays": [part.strip() for part in stays.split(",") if part.strip()],
                "may_be_painted": [role for role in shown["may_be_painted"] if role in roles]
                + [role for role in roles if role not in shown["may_be_painted"]],
            }  # fmt: skip
            said = client.answers_in(before, shown, given)
            try:
                client.save_brief(the_desk(), token, said)
            except GivensError as error:
                show_problems(householder_problems(error))
            else:
                show_note(words.CLIENT_BRIEF_SAVED if said or before else words.CLIENT_BRIEF_EMPTY)


def _shared(visit: str, token: str, room: ClientRoom, share: Share) -> None:
    content, address = share.content, f"/client-shared/{visit}/{share.id}"
    pictured = {BEFORE, AFTER} <= set(share.pictures)
    if pictured:
        with st.container(key="c-room"):
            own_room(f"{address}/{BEFORE}", f"{address}/{AFTER}", key=f"own-room-{share.id}")
    st.html(headline(content, room=room.name, pictured=pictured))
    last = next((answer for answer in reversed(room.answers) if answer.share in (share.id, None)), None)
    if last is not None:
        _echo(content["paints"], last)
    with st.form(f"answer-{share.id}", border=False):
        st.html(section(words.CLIENT_SCHEME, words.CLIENT_SCHEME_NOTE))
        parts = [_of_role(paint, content, last, share) for paint in content["paints"]]
        others = other_ways(
            content, {place: f"{address}/{name}" for place in range(len(content.get("alternatives", ())))
                      if (name := OTHER.format(place=place)) in share.pictures}
        )  # fmt: skip
        if others:
            st.html(section(words.CLIENT_OTHERS, words.CLIENT_OTHERS_NOTE) + f'<div class="c-others">{others}</div>')
        st.html(what_next(content))
        if DOCUMENT in share.pictures:
            st.html(to_keep(f"{address}/{DOCUMENT}"))
        st.html(section(words.CLIENT_ANSWER))
        offered = list(words.WHOLE_WORDS)
        choice = st.radio(
            words.CLIENT_ANSWER, offered, offered.index(last.choice) if last else None,
            format_func=words.WHOLE_WORDS.__getitem__, label_visibility="collapsed", key=f"whole-{share.id}",
            width="stretch",
        )  # fmt: skip
        note = st.text_area(words.CLIENT_NOTE, last.note if last else "", max_chars=2000)
        send = words.CLIENT_SEND_CHANGE if last else words.CLIENT_SEND_ANSWER
        if st.form_submit_button(send, type="primary", width="stretch"):
            given = [part for part in parts if part is not None]
            if choice is None:
                missing = [paint["role"] for paint, part in zip(content["paints"], parts, strict=True) if part is None]
                show_problems([words.CLIENT_MISSING.format(missing=listed([*missing, words.CLIENT_MISSING_WHOLE]))])
                return
            try:
                client.answer(the_desk(), token, choice, note, parts=given, share=share.id)
            except GivensError as error:
                show_problems(householder_problems(error))
            else:
                st.session_state[_ANSWERED] = True
                st.rerun()
        if st.session_state.pop(_ANSWERED, False):
            show_note(words.CLIENT_ANSWERED)


def _of_role(paint: dict[str, Any], content: dict[str, Any], last: Answer | None, share: Share) -> RoleAnswer | None:
    """Show a paint and ask what is thought of it; None while nothing is chosen."""
    role, title = client.role_of(paint), paint["role"]
    said = next((part for part in last.parts if part.role == role), None) if last else None
    st.html(paint_board(paint, content))
    offered = list(words.CHOICE_WORDS)
    with st.container(key=f"c-answer-{share.id}-{len(role)}-{role}"):
        choice = st.radio(
            words.CLIENT_ROLE_ANSWER.format(role=title), offered, offered.index(said.choice) if said else None,
            format_func=words.CHOICE_WORDS.__getitem__, horizontal=True, key=f"role-{share.id}-{role}", width="stretch",
        )  # fmt: skip
        note = st.text_input(
            words.CLIENT_ROLE_NOTE.format(role=title), said.note if said else "", max_chars=400,
            key=f"role-note-{share.id}-{role}",
        )  # fmt: skip
    return None if choice is None else RoleAnswer(role, choice, note)


def _echo(paints: list[dict[str, Any]], answer: Answer) -> None:
    """Show what was sent, role by role."""
    said = {part.role: part for part in answer.parts}
    rows = [
        (paint["role"], words.CHOICE_WORDS[part.choice] if part else words.CLIENT_NO_ANSWER, part.note if part else "")
        for paint in paints
        for part in [said.get(client.role_of(paint))]
    ]
    rows.append((words.ANSWER_WHOLE, words.WHOLE_WORDS[answer.choice], answer.note))
    lines = "".join(
        f"<div><dt>{escape(title)}</dt><dd><strong>{escape(choice)}</strong>"
        + (f"<br>“{escape(note)}”" if note else "")
        + "</dd></div>"
        for title, choice, note in rows
    )
    st.html(
        f'<div class="c-echo"><h2>{words.CLIENT_ANSWERED}</h2><dl>{lines}</dl>'
        f'<p class="g-soft">{words.CLIENT_ANSWERED_WHEN.format(when=answer.created)}</p></div>'
    )


main()
