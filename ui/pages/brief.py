"""The brief: what the room is, what is wished for, what the client wrote, and the client's private link."""

from __future__ import annotations

from datetime import UTC, datetime
from html import escape
from typing import TYPE_CHECKING, Any

import streamlit as st

from matcher.errors import GivensError
from matcher.service import choices, client, desk
from ui import words
from ui.header import room_header
from ui.messages import show_error
from ui.saving import save
from ui.state import LINK, Visit, need_consultant, need_room
from ui.style import dress

if TYPE_CHECKING:
    from matcher.service.records import StoredRoom


def main() -> None:
    """Show and edit the brief."""
    dress(words.BRIEF_TITLE)
    visit = need_consultant()
    room = need_room(visit)
    room_header(visit, room, "brief")
    st.title(words.BRIEF_TITLE)
    form, side = st.columns([3, 2], gap="large")
    with form:
        _form(visit, room)
    with side:
        _from_client(room)
        _links(visit, room)
        _remove(visit, room)


def _form(visit: Visit, room: StoredRoom) -> None:
    about, wishes = room.document.get("room", {}), room.document.get("wishes", {})
    with st.form("brief"):
        st.subheader(words.BRIEF_ROOM)
        name = st.text_input(words.ROOM_NAME, about.get("name", room.name), max_chars=120)
        kind = st.selectbox(words.ROOM_KIND, ["", *choices.KINDS], _place(about.get("kind"), choices.KINDS))
        facing = st.selectbox(
            words.FACING,
            ["", *choices.FACINGS],
            _place(about.get("facing"), tuple(choices.FACINGS)),
            format_func=lambda point: choices.FACINGS.get(point, words.FACING_UNKNOWN),
        )
        latitude = st.number_input(words.LATITUDE, -90.0, 90.0, about.get("latitude"), step=0.5)
        lamps = st.selectbox(
            words.LAMPS,
            [0, *choices.LAMPS],
            _place(int(about.get("lamps_k") or 0), tuple(choices.LAMPS)),
            format_func=lambda kelvin: choices.LAMPS.get(kelvin, words.LAMPS_UNKNOWN),
        )
        st.subheader(words.BRIEF_WISHES)
        warmth = st.radio(
            words.WARMTH,
            choices.WARMTHS,
            choices.WARMTHS.index(wishes.get("warmth", "either")),
            format_func=words.WARMTH_WORDS.__getitem__,
            horizontal=True,
        )
        roles = st.multiselect(
            words.ROLES_TO_PAINT,
            list(choices.ROLES),
            wishes.get("roles", ["walls", "trim"]),
            format_func=choices.ROLES.__getitem__,
        )
        free = st.checkbox(words.LRV_ANY, "lrv" not in wishes)
        lrv = st.slider(words.LRV_RANGE, 0, 100, tuple(round(v) for v in wishes.get("lrv", (40, 80))))
        if st.form_submit_button(words.SAVE, type="primary"):
            _save(
                visit,
                room,
                about={"name": name.strip() or room.name, "kind": kind, "facing": facing, "latitude": latitude,
                       "lamps_k": lamps},
                wishes={"warmth": warmth, "roles": roles or ["walls"],
                        "lrv": [] if free or lrv[0] == lrv[1] else [float(v) for v in lrv]},
            )  # fmt: skip


def _place(value: Any, among: tuple[Any, ...]) -> int:
    """Return where ``value`` stands in a list that starts with an empty choice."""
    return among.index(value) + 1 if value in among else 0


def _save(visit: Visit, room: StoredRoom, *, about: dict[str, Any], wishes: dict[str, Any]) -> None:
    document = {
        **room.document,
        "room": {key: value for key, value in about.items() if value not in ("", None, 0)},
        "wishes": {key: value for key, value in wishes.items() if value != []},
    }
    if save(visit, room, document):
        if about["name"] != room.name:
            desk.rename_room(visit.desk, visit.user, room.id, about["name"])
        st.toast(words.SAVED)
        st.rerun()


def _from_client(room: StoredRoom) -> None:
    told = {key: value for key, value in room.brief.items() if value}
    if not told:
        return
    st.subheader(words.FROM_CLIENT)
    rows = "".join(
        f"<tr><th scope='row'>{escape(key.replace('_', ' '))}</th><td>{escape(_said(value))}</td></tr>"
        for key, value in told.items()
    )
    st.html(f'<table class="g-table">{rows}</table>')


def _said(value: Any) -> str:
    return ", ".join(str(part) for part in value) if isinstance(value, list | tuple) else str(value)


def _links(visit: Visit, room: StoredRoom) -> None:
    st.subheader(words.LINK_TITLE)
    st.write(words.LINK_INTRO)
    if st.button(words.LINK_MAKE):
        token = client.make_link(visit.desk, visit.user, room.id)
        st.session_state[f"link-{room.id}"] = f"{(st.context.url or '').rsplit('/', 1)[0]}/client?{LINK}={token}"
    made = st.session_state.get(f"link-{room.id}")
    if made:
        st.code(made, language=None, wrap_lines=True)
        st.caption(words.LINK_ONCE)
    for link in client.links(visit.desk, visit.user, room.id):
        state, button = st.columns([4, 2], vertical_alignment="center")
        text = words.LINK_STATE.format(created=link.created, expires=link.expires)
        if link.last_used:
            text += ", " + words.LINK_USED.format(used=link.last_used)
        over = link.expires < datetime.now(UTC)
        if link.revoked or over:
            text += f" ({words.LINK_REVOKED if link.revoked else words.LINK_EXPIRED})"
        state.html(f'<span class="g-small">{escape(text)}</span>')
        if not (link.revoked or over) and button.button(words.LINK_REVOKE, key=f"revoke-{link.id}"):
            client.revoke_link(visit.desk, visit.user, link.id)
            st.session_state.pop(f"link-{room.id}", None)
            st.rerun()


def _remove(visit: Visit, room: StoredRoom) -> None:
    with st.expander(words.REMOVE_ROOM):
        sure = st.checkbox(words.REMOVE_ROOM_SURE)
        if st.button(words.REMOVE_ROOM, disabled=not sure):
            try:
                desk.delete_room(visit.desk, visit.user, room.id)
            except GivensError as error:
                show_error(error)
            else:
                st.switch_page("pages/rooms.py")


main()
