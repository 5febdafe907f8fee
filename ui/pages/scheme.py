"""The scheme: one paint a role, chosen together, in the room and beside what stays; other ways to go; the client."""

from __future__ import annotations

import base64
from html import escape
from typing import TYPE_CHECKING, Any

import streamlit as st

from matcher.service import live, sharing, showing
from ui import words
from ui.header import room_page
from ui.nothing_yet import need_ranked
from ui.paint_link import PAGE, paint_query
from ui.saving import save
from ui.share_card import scheme_address, show_answers, show_share_card
from ui.state import ROOM, Visit
from ui.swatches import band, in_numbers, reasons

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from matcher.service.painted_room import PaintedRoom
    from matcher.service.records import StoredRoom

Json = dict[str, Any]
_UNDO = "scheme-undo"


def main() -> None:
    """Show the scheme."""
    visit, room, bar = room_page("scheme", words.STEPS["scheme"])
    board, side = st.columns([944, 424], gap="medium")
    with side.container(key="share-side"):
        show_answers(visit, room)
    with board:
        ranked = need_ranked(visit, room, words.SCHEME_NOTHING)
        picture = sharing.picture_of(visit.desk, room, ranked.scheme["paints"])
        _bar(bar, room, ranked.scheme)
        _undo(visit, room)
        show_board(room, ranked, live.pictures(visit.desk, room), picture)
        _others(visit, room, ranked.scheme, picture)
        _checked(ranked.scheme)
        _why(ranked.scheme)
    with side.container(key="share-card"):
        show_share_card(visit, room, ranked, picture)


def _bar(bar: Any, room: StoredRoom, scheme: Json) -> None:
    roles = sharing.listed([paint["role"] for paint in scheme["paints"]])
    with bar:
        st.html(f'<p class="g-soft">{escape(roles)}</p>', width="stretch")
        st.page_link("pages/light.py", label=words.LIGHT_LINK, query_params={ROOM: room.id}, width="content")
        st.page_link("pages/shortlist.py", label=words.SCHEME_CHANGE, query_params={ROOM: room.id}, width="content")
        st.html(
            f'<p class="s-take"><a href="/report/{room.id}" target="_blank">{words.REPORT}</a> '
            f'<a href="/room/{room.id}.zip">{words.ARCHIVE}</a></p>',
            width="content",
        )


def show_board(room: StoredRoom, ranked: live.LiveRanking, pixels: Mapping[str, bytes], picture: PaintedRoom) -> None:
    """Show the room in the scheme, and the paints stacked with what stays, each named beside its stripe."""
    scheme = ranked.scheme
    stripes = [
        f'<div class="s-paint"><span style="background:{paint["hex"]}" role="img" aria-label="{escape(paint["name"])}">'
        f'</span><p>{escape(paint["role"])}<br><strong class="g-serif">{escape(paint["name"])}</strong>'
        f'<br><span class="g-num">{escape(paint["code"])} · LRV {paint["lrv"]:.0f}</span>{_chosen(paint)}</p></div>'
        for paint in scheme["paints"]
    ]
    for surface in ranked.staying:
        name, real = surface["name"], pixels.get(surface["name"])
        photo = f"data:image/jpeg;base64,{base64.b64encode(real).decode('ascii')}" if real else ""
        shown = f'<img src="{photo}" alt="{escape(name)}, from the photo">' if real else ""
        stripes.append(
            f'<div class="s-stays"><span>{shown}{band(surface)}</span>'
            f"<p>{escape(name[:1].upper() + name[1:])}</p></div>"
        )
    own = _room_picture(room, scheme, picture) if showing.repaintable(room) is not None else ""
    bare = "" if own else " bare"
    st.html(f'<div class="s-board{bare}">{own}<div class="s-stack">{"".join(stripes)}</div></div>')
    with st.container(key="scheme-paints", horizontal=True):
        for paint in scheme["paints"]:
            label = words.PAINT_CLOSELY_NAMED.format(name=paint["name"])
            st.page_link(PAGE, label=label, query_params=paint_query(room, paint["code"], "scheme"), width="content")
    _not_painted(room, scheme, picture)


def _room_picture(room: StoredRoom, scheme: Json, picture: PaintedRoom) -> str:
    painted = [paint["role"].lower() for paint in scheme["paints"] if paint["id"] in picture.painted]
    said = words.SCHEME_PICTURE.format(roles=sharing.listed(painted)) if painted else words.SCHEME_AS_IT_IS
    return (
        f'<figure><img src="{escape(scheme_address(room, scheme["paints"]))}" alt="{escape(said)}">'
        f"<figcaption>{escape(said)}</figcaption></figure>"
    )


def _not_painted(room: StoredRoom, scheme: Json, picture: PaintedRoom) -> None:
    """Say which roles the picture does not show in their paint and why, with the way to where it is mended."""
    titles = {paint["id"]: paint["role"] for paint in scheme["paints"]}
    lines = [
        why.format(roles=sharing.listed(titles[role].lower() for role in roles))
        for roles, why in (
            (picture.unmeasured, words.SCHEME_UNMEASURED),
            (picture.not_outlined, words.SCHEME_NO_OUTLINE),
        )
        if roles
    ]
    if lines:
        with st.container(key="not-painted", horizontal=True, vertical_alignment="center"):
            st.html(f'<p class="g-small g-soft">{escape(" ".join(lines))}</p>', width="stretch")
            st.page_link("pages/mark.py", label=words.SCHEME_TO_MARK, query_params={ROOM: room.id}, width="content")


def _chosen(paint: Json) -> str:
    return f'<br><b class="s-pinned">{words.SCHEME_PINNED}</b>' if paint["pinned"] else ""


def _others(visit: Visit, room: StoredRoom, scheme: Json, picture: PaintedRoom) -> None:
    if not scheme["alternatives"] and not scheme["few"]:
        return
    note = scheme["few"] or words.SCHEME_OTHER_NOTE
    st.html(_head(words.SCHEME_OTHER, note))
    if not scheme["alternatives"]:
        return
    with st.container(key="ways", horizontal=True, gap="small"):
        for place, other in enumerate(scheme["alternatives"]):
            with st.container(key=f"way-{place}"):
                painted = ""
                if sharing.looks_otherwise(other["paints"], scheme["paints"], picture):
                    painted = f'<img src="{escape(scheme_address(room, other["paints"]))}" alt="" loading="lazy">'
                colours = "".join(f'<span style="flex:1;background:{p["hex"]}"></span>' for p in other["paints"])
                listed = "; ".join(f"{paint['role']}: {paint['name']}" for paint in other["paints"])
                st.html(
                    f'{painted}<div class="g-ground"><div class="g-band">{colours}</div></div>'
                    f'<h3>{escape(other["title"])}</h3><p class="g-small">{escape(other["trade"])}.</p>'
                    f'<p class="g-soft g-small">{escape(listed)}</p>'
                )
                if st.button(words.SCHEME_FOLLOWS, key=f"take-{place}", help=other["title"]):
                    _take(visit, room, other)


def _take(visit: Visit, room: StoredRoom, other: Json) -> None:
    before = dict(room.document.get("pins", {}))
    if save(visit, room, {**room.document, "pins": sharing.codes_of(other["paints"])}):
        st.session_state[_UNDO] = (room.id, other["title"], before)
        st.rerun()


def _undo(visit: Visit, room: StoredRoom) -> None:
    """Offer to take back what was put in use last."""
    room_id, title, before = st.session_state.get(_UNDO, (None, "", {}))
    if room_id != room.id:
        return
    with st.container(key="undo", horizontal=True, vertical_alignment="center"):
        st.html(f'<p role="status">{escape(words.SCHEME_TAKEN.format(title=title))}</p>', width="content")
        if st.button(words.SCHEME_UNDO):
            del st.session_state[_UNDO]
            if save(visit, room, {**room.document, "pins": before}):
                st.rerun()


def _checked(scheme: Json) -> None:
    for title, note, checks, good, bad in (
        (words.SCHEME_CHECKED, "", scheme["checks"], words.HOLDS, words.LOOK_AGAIN),
        (words.SCHEME_CONTRAST, words.SCHEME_CONTRAST_NOTE, scheme["contrasts"], words.MEETS, words.MISSES),
    ):
        if checks:
            lines = "".join(_check(check, good if check["passes"] else bad) for check in checks)
            st.html(
                f'{_head(title, note)}<ul class="s-checks">{lines}</ul>'
                f"{in_numbers(check['numbers'] for check in checks)}"
            )


def _head(title: str, note: str) -> str:
    return f'<div class="s-line"><h2 class="s-head">{title}</h2><p class="g-small g-soft">{escape(note)}</p></div>'


def _check(check: Json, word: str) -> str:
    kind = "holds" if check["passes"] else "look"
    return f'<li class="{kind}"><strong>{word}</strong><span>{escape(check["text"])}.</span></li>'


def _why(scheme: Json) -> None:
    st.html(_head(words.SCHEME_WHY, scheme["intro"]))
    columns = "".join(
        f"<div><h3>{escape(paint['role'])}: {escape(paint['name'])}</h3>"
        f"{_clashes(paint['clashes'])}{reasons(paint['reasons'])}</div>"
        for paint in scheme["paints"]
    )
    st.html(f'<div class="s-why">{columns}</div>')


def _clashes(found: Sequence[Json]) -> str:
    return "".join(
        f'<div class="g-clash"><strong>{escape(clash["title"])}</strong>{escape(clash["message"])}</div>'
        for clash in found
    )


main()
