"""The scheme: one paint a role, chosen together, checked, remarked on, shared with the client, downloaded."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING, Any

import streamlit as st

from matcher.service import choices, client, desk, live, showing
from ui import words
from ui.header import room_page
from ui.saving import save
from ui.state import Visit, need_ranked
from ui.swatches import in_numbers, paint_text, strip, swatch

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matcher.service.records import StoredRoom


def main() -> None:
    """Show the scheme."""
    visit, room, _ = room_page("scheme", words.STEPS["scheme"])
    ranked = need_ranked(visit, room, words.SCHEME_NOTHING)
    pixels = live.pictures(visit.desk, room)
    show_scheme(ranked.scheme, ranked.staying, pixels)
    _others(visit, room, ranked.scheme)
    share, take = st.columns([3, 2], gap="large")
    with share:
        _share(visit, room, ranked)
    with take:
        st.header(words.DOWNLOAD)
        st.html(
            f'<p><a href="/report/{room.id}" target="_blank">{words.REPORT}</a></p>'
            f'<p><a href="/room/{room.id}.zip">{words.ARCHIVE}</a></p>'
        )
        _answers(room)


def show_scheme(scheme: dict[str, Any], surfaces: Sequence[dict[str, Any]], pixels: dict[str, bytes] | Any) -> None:
    """Show the paints chosen together above what stays, then what was checked."""
    swatches = "".join(f"<div>{swatch(paint)}</div>" for paint in scheme["paints"])
    texts = "".join(f"<div>{paint_text(paint)}</div>" for paint in scheme["paints"])
    st.html(
        f"<p>{escape(scheme['intro'])}</p>"
        f'<div class="g-ground"><div class="g-scheme">{swatches}</div>{strip(surfaces, pixels)}</div>'
        f'<div class="g-scheme">{texts}</div>'
    )
    for title, note, checks, good, bad in (
        (words.SCHEME_CHECKED, "", scheme["checks"], words.HOLDS, words.LOOK_AGAIN),
        (words.SCHEME_CONTRAST, words.SCHEME_CONTRAST_NOTE, scheme["contrasts"], words.MEETS, words.MISSES),
    ):
        if checks:
            lines = "".join(
                f"<li><strong>{good if check['passes'] else bad}</strong><span>{escape(check['text'])}</span></li>"
                for check in checks
            )
            numbers = in_numbers(check["numbers"] for check in checks)
            st.html(f'<h3>{title}</h3><p class="g-soft">{note}</p><ul class="g-levels">{lines}</ul>{numbers}')


def _others(visit: Visit, room: StoredRoom, scheme: dict[str, Any]) -> None:
    if not scheme["alternatives"] and not scheme["few"]:
        return
    st.header(words.SCHEME_OTHER)
    if scheme["few"]:
        st.write(scheme["few"])
    if not scheme["alternatives"]:
        return
    columns = st.columns(min(len(scheme["alternatives"]), 3), gap="large")
    for place, other in enumerate(scheme["alternatives"]):
        with columns[place % len(columns)]:
            colours = "".join(f'<span style="flex:1;background:{paint["hex"]}"></span>' for paint in other["paints"])
            listed = "; ".join(f"{paint['role']}: {paint['name']}" for paint in other["paints"])
            st.html(
                f'<div class="g-ground"><div class="g-band" style="height:4.5rem">{colours}</div></div>'
                f"<h3>{escape(other['title'])}</h3><p>{escape(other['trade'])}</p>"
                f'<p class="g-soft">{escape(listed)}</p>'
            )
            if st.button(words.PIN, key=f"take-{place}", help=other["title"]):
                by_title = {title: role for role, title in choices.ROLES.items()}
                pins = {by_title[paint["role"]]: paint["code"] for paint in other["paints"]}
                if save(visit, room, {**room.document, "pins": pins}):
                    st.rerun()


def _share(visit: Visit, room: StoredRoom, ranked: live.LiveRanking) -> None:
    st.header(words.SHARE)
    with st.form("share"):
        remark = st.text_area(words.REMARK, room.remark, max_chars=4000)
        if st.form_submit_button(words.SHARE_AGAIN if room.shared else words.SHARE, type="primary"):
            desk.save_remark(visit.desk, visit.user, room.id, remark)
            client.share(visit.desk, visit.user, room.id, showing.to_share(ranked, remark))
            st.toast(words.SHARED)
            st.rerun()
    if room.shared:
        st.caption(words.SHARED)


def _answers(room: StoredRoom) -> None:
    if not room.answers:
        return
    st.header(words.ANSWERS)
    for answer in reversed(room.answers):
        st.html(
            f'<div class="g-note"><p><strong>{words.CHOICE_WORDS[answer.choice]}</strong> '
            f'<span class="g-soft">{answer.created:%d %b %H:%M}</span></p><p>{escape(answer.note)}</p></div>'
        )


main()
