"""The rooms in view on the scheme page: each as it looks through the doorway, and what holds through it or does not."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING, Any

import streamlit as st

from matcher.errors import GivensError
from matcher.service import choices
from matcher.service.companions import rooms_in_view
from matcher.service.doorways import doorways, keep_there
from ui import words
from ui.messages import show_error
from ui.scheme_ways import section_head
from ui.state import ROOM
from ui.swatches import chip

if TYPE_CHECKING:
    from matcher.service.companions import RoomInView
    from matcher.service.live import LiveRanking
    from matcher.service.records import StoredRoom
    from ui.state import Visit

Json = dict[str, Any]


def show_doorways(visit: Visit, room: StoredRoom, ranked: LiveRanking) -> None:
    """Show every room in view with its paints beside this one's, and say of the others why they are not part of it."""
    seen = rooms_in_view(ranked)
    shut = [door for door in doorways(visit.desk, room) if door.state != "seen"]
    if not seen and not shut:
        return
    st.html(section_head(words.DOORWAYS, words.DOORWAYS_NOTE if seen else ""))
    own = {paint["id"]: paint for paint in ranked.scheme["paints"]}
    with st.container(key="doorways"):
        for place, other in enumerate(seen):
            with st.container(key=f"doorway-{place}"):
                st.html(f"{_picture(other, own)}{_named(other)}{_paints(other, own)}{_holds(other)}")
                _keep(visit, other, place)
                label = words.DOORWAY_OPEN.format(name=other.name)
                st.page_link("pages/scheme.py", label=label, query_params={ROOM: other.file}, width="content")
    for place, door in enumerate(shut):
        with st.container(key=f"shut-{place}", horizontal=True, vertical_alignment="center"):
            said = words.DOORWAYS_SHUT[door.state].format(name=door.name)
            st.html(f'<p class="g-small g-soft">{escape(said)}</p>', width="content")
            if door.state in words.DOORWAY_TO:
                page = "pages/photos.py" if door.state == "bare" else "pages/brief.py"
                label, target = words.DOORWAY_TO[door.state].format(name=door.name), door.id
            else:
                page, label, target = "pages/brief.py", words.DOORWAY_TO_BRIEF, room.id
            st.page_link(page, label=label, query_params={ROOM: target}, width="content")


def _keep(visit: Visit, other: RoomInView, place: int) -> None:
    """Offer to choose there what is proposed; nothing to press where all of it is kept."""
    proposed = {role: paint.code for role, paint in other.paints.items() if role not in other.kept}
    if proposed and st.button(words.DOORWAY_KEEP.format(name=other.name), key=f"keep-there-{place}"):
        try:
            keep_there(visit.desk, visit.user, other.file, proposed)
        except GivensError as error:
            show_error(error)
        else:
            st.rerun()


def _picture(other: RoomInView, own: dict[str, Json]) -> str:
    """Return these walls with a doorway in its trim, and the other room's walls and trim seen in it."""
    walls, trim = other.paints.get("walls"), other.paints.get("trim")
    theirs = walls or next(iter(other.paints.values()))
    here = own.get("walls")
    said = words.DOORWAY_SEEN if here else words.DOORWAY_SEEN_ALONE
    told = said.format(name=other.name, theirs=theirs.name, own=here["name"] if here else "")
    around = f' style="background:{here["hex"]}"' if here else ""
    frame = f";border-color:{own['trim']['hex']}" if "trim" in own else ";border-width:0"
    skirting = f'<i style="background:{trim.hex}"></i>' if trim else ""
    return (
        f'<div class="d-view" role="img" aria-label="{escape(told)}"><span class="d-wall"{around}>'
        f'<span class="d-door" style="background:{theirs.hex}{frame}">{skirting}</span></span></div>'
    )


def _named(other: RoomInView) -> str:
    through = words.DOORWAY_THROUGH.format(through=other.through) if other.through else ""
    return f'<h3>{escape(other.name)} <span class="g-soft g-small">{escape(through)}</span></h3>'


def _paints(other: RoomInView, own: dict[str, Json]) -> str:
    """Return the paints role by role, here and there."""
    roles = [role for role in choices.ROLES if role in other.paints]
    head = "".join(f'<th scope="col">{escape(title)}</th>' for title in ("", words.DOORWAY_HERE, other.name))
    rows = ""
    for role in roles:
        there = other.paints[role]
        kept = f" <span><b>{words.DOORWAY_KEPT}</b></span>" if role in other.kept else ""
        here = own.get(role)
        rows += (
            f'<tr><th scope="row">{choices.ROLES[role]}</th>'
            f"<td>{_paint(here['hex'], here['name'], here['lrv']) if here else ''}</td>"
            f"<td>{_paint(there.hex, there.name, there.lrv, kept)}</td></tr>"
        )
    return f'<table class="d-paints"><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>'


def _paint(colour: str, name: str, lrv: float, kept: str = "") -> str:
    said = f'{escape(name)} <span class="g-soft g-num">LRV {lrv:.0f}</span>{kept}'
    return f'<div class="d-one">{chip(colour)}<div>{said}</div></div>'


def _holds(other: RoomInView) -> str:
    lines = [f'<li class="look">{escape(text)}.</li>' for text in other.misses]
    lines += [f"<li>{escape(text)}.</li>" for text in other.holds]
    return f'<ul class="s-does">{"".join(lines)}</ul>' if lines else ""
