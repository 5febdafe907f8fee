"""The shortlist of each role: paints above what stays, reasons, clashes, where they stand, up to four side by side."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING, Any

import streamlit as st

from matcher.service import choices, live
from ui import words
from ui.comparison import show_comparison
from ui.drawings import image
from ui.header import room_page
from ui.messages import show_note
from ui.next_photo import show_advice
from ui.saving import save
from ui.state import Visit, need_ranked
from ui.swatches import paint_card, terms

if TYPE_CHECKING:
    from matcher.service.records import StoredRoom

_COLUMNS, _MOST_COMPARED = 3, 4


def main() -> None:
    """Show the shortlist of one role."""
    visit, room, _ = room_page("shortlist", words.STEPS["shortlist"])
    roles = room.document.get("wishes", {}).get("roles", ["walls"])
    chosen, narrow = st.columns([3, 1], vertical_alignment="bottom")
    role = chosen.segmented_control(
        words.ROLE, roles, default=roles[0], required=True, format_func=choices.ROLES.__getitem__, key="role"
    )
    ranked = need_ranked(visit, room, words.SHORTLIST_NOTHING, wanted=_filters(narrow))
    _unread(ranked)
    show_advice(visit, room, ranked)
    _cards(visit, room, ranked, role)
    st.header(words.WHERE_TITLE)
    lean, light = st.columns([3, 2], gap="large")
    drawings = live.plots(ranked, role)
    for column, drawing, text in zip((lean, light), drawings, (words.LEAN_PLOT, words.LIGHT_PLOT), strict=True):
        column.html(f'<div class="g-plot">{image(drawing.svg, drawing.alt)}</div><p class="g-soft g-small">{text}</p>')
    st.html(f'<p class="g-small">{escape(live.legend(ranked, role))}</p>')


def _unread(ranked: live.LiveRanking) -> None:
    """Show the surfaces that the list was made without, as the report does."""
    if ranked.unread:
        entries = "".join(
            f"<li><strong>{escape(missing['title'])}</strong>: {escape(missing['sentence'])}</li>"
            for missing in ranked.unread
        )
        st.html(f'<div class="g-note"><p>{words.UNREAD}</p><ul>{entries}</ul></div>')


def _filters(place: Any) -> live.Wanted | None:
    with place.popover(words.FILTERS, width="stretch"):
        lrv = st.slider(words.FILTER_LRV, 0, 100, (0, 100), key="filter-lrv")
        families = st.multiselect(
            words.FILTER_FAMILY, list(choices.FAMILIES), format_func=choices.FAMILIES.__getitem__, key="filter-family"
        )
        warmth = st.radio(
            words.FILTER_WARMTH, choices.WARMTHS, format_func=words.WARMTH_WORDS.__getitem__, key="filter-warmth"
        )
    if lrv == (0, 100) and not families and warmth == "either":
        return None
    return live.Wanted((float(lrv[0]), float(lrv[1])), frozenset(families), warmth)


def _cards(visit: Visit, room: StoredRoom, ranked: live.LiveRanking, role: str) -> None:
    surfaces, pixels = ranked.staying, live.pictures(visit.desk, room)
    paints = ranked.roles[role]["paints"]
    pinned = room.document.get("pins", {}).get(role)
    st.write(ranked.roles[role]["intro"])
    for note in ranked.roles[role]["notes"]:
        show_note(note)
    compared = [paint for paint in paints if st.session_state.get(f"compare-{role}-{paint['code']}")]
    if len(compared) > 1:
        st.header(words.COMPARE_TITLE)
        show_comparison(visit.desk, compared[:_MOST_COMPARED], surfaces, pixels)
        if len(compared) > _MOST_COMPARED:
            show_note(words.COMPARE_MOST)
    for start in range(0, len(paints), _COLUMNS):
        row = st.columns(_COLUMNS, gap="large")
        for place, (column, paint) in enumerate(zip(row, paints[start:], strict=False), start=start):
            with column:
                st.html(paint_card(paint, chr(ord("A") + place), surfaces, pixels))
                choose, compare = st.columns(2, vertical_alignment="center")
                mine = paint["code"] == pinned
                if choose.button(
                    words.UNPIN if mine else words.PIN,
                    key=f"pin-{role}-{paint['code']}",
                    type="primary" if mine else "secondary",
                    help=f"{paint['name']}, {choices.ROLES[role].lower()}",
                    width="stretch",
                ):
                    _pin(visit, room, role, None if mine else paint["code"])
                compare.checkbox(words.COMPARE, key=f"compare-{role}-{paint['code']}")
                with st.expander(words.HOW_SCORED):
                    st.html(terms(paint))


def _pin(visit: Visit, room: StoredRoom, role: str, code: str | None) -> None:
    pins = {other: kept for other, kept in room.document.get("pins", {}).items() if other != role}
    if code is not None:
        pins[role] = code
    if save(visit, room, {**room.document, "pins": pins}):
        st.rerun()


main()
