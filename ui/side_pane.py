"""Beside the shortlist: one paint looked at closely, or up to four compared. It scrolls by itself."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

import streamlit as st

from matcher.service import live
from ui import words
from ui.comparison import show_columns, show_differences
from ui.drawings import image
from ui.looking import MOST_COMPARED, Looking
from ui.paint_link import PAGE, PAINT, paint_query
from ui.state import ROOM
from ui.swatches import chip, clashes, closer_swatch, reasons, terms
from ui.tile_grid import Listed, use_button

if TYPE_CHECKING:
    from matcher.service.tiles import Tile


def show_pane(listed: Listed, ranked: live.LiveRanking) -> None:
    """Show the side pane of a shortlist."""
    looking, compared = listed.looking, listed.compared
    titles = {
        "look": words.CLOSER_LOOK,
        "compare": words.COMPARE_TITLE.format(count=len(compared), most=MOST_COMPARED),
    }
    with st.container(key="panes", horizontal=True):
        for pane, title in titles.items():
            state = "here" if looking.pane == pane else "there"
            st.button(title, key=f"pane-{state}-{pane}", width="stretch", on_click=_turn, args=(looking, pane))
        # Of a narrow screen, where the pane stands among the tiles.
        st.button(words.CLOSE, key="pane-close", on_click=looking.leave, args=(listed.role,))
    with st.container(key="pane"):
        if looking.pane == "compare":
            _compare(listed, compared)
        elif listed.here is not None:
            _closer(listed, ranked, listed.here)


def _turn(looking: Looking, pane: str) -> None:
    looking.pane = pane


def _compare(listed: Listed, compared: list[Tile]) -> None:
    if not compared:
        st.html(f'<p class="g-pad g-soft">{words.COMPARE_NONE}</p>')
        return
    show_columns(compared, listed.surfaces, listed.pixels)
    with st.container(key="pane-uses", horizontal=True):
        for tile in compared:
            use_button(listed, tile, "pane-pin")
    if len(compared) > 1:
        show_differences(listed.visit.desk, compared)
    else:
        st.html(f'<p class="g-pad g-soft">{words.COMPARE_ONE}</p>')


def _closer(listed: Listed, ranked: live.LiveRanking, tile: Tile) -> None:
    paint, looking = tile.paint, listed.looking
    st.html(
        f'<div class="g-closer-head"><h2>{escape(paint["name"])}</h2>'
        f'<span class="g-soft g-num">{escape(tile.code)}</span><span class="g-num">LRV {paint["lrv"]:.0f}</span></div>'
        + closer_swatch(tile, listed.surfaces, listed.pixels)
    )
    with st.container(key="pane-do", horizontal=True):
        use_button(listed, tile, "pane-pin")
        if st.button(words.SEE_ON_WALL, key="see-on-wall"):
            looking.try_paint(listed.role, tile.code)
            st.switch_page("pages/wall.py", query_params={ROOM: listed.room.id})
    with st.container(key="pane-paint", horizontal=True):
        query = paint_query(listed.room, tile.code, "shortlist")
        label = words.PAINT_CLOSELY_NAMED.format(name=paint["name"])
        st.page_link(PAGE, label=label, query_params=query, width="content")
        asked = {ROOM: listed.room.id, PAINT: tile.code}
        st.page_link("pages/light.py", label=words.LIGHT_LINK_PAINT, query_params=asked, width="content")
    added = f"<p><strong>{escape(paint['added'])}.</strong></p>" if paint["added"] else ""
    against = paint["clashes"] or any(reason["side"] == "Against" for reason in paint["reasons"])
    nothing = "" if against else f'<p class="g-soft">{words.NOTHING_AGAINST}.</p>'
    # What only informs, the paints that this one stands for, has a fold of its own.
    said = [reason for reason in paint["reasons"] if reason["side"] != "Aside"]
    st.html(f'<div class="g-pad">{added}{clashes(paint["clashes"])}{reasons(said)}{nothing}</div>')
    if tile.close:
        with st.expander(words.CLOSE_PAINTS.format(count=len(tile.close))):
            _close(listed, tile)
    with st.expander(words.HOW_SCORED):
        st.html(terms(paint))
    with st.expander(words.WHERE_TITLE):
        drawings = live.plots(ranked, listed.role)
        for drawing, text in zip(drawings, (words.LEAN_PLOT, words.LIGHT_PLOT), strict=True):
            st.html(f'<div class="g-plot">{image(drawing.svg, drawing.alt)}</div><p class="g-soft g-small">{text}</p>')
        st.html(f'<p class="g-small">{escape(live.legend(ranked, listed.role))}</p>')


def _close(listed: Listed, tile: Tile) -> None:
    known = live.known_paints(listed.visit.desk, tile.close)
    rows = "".join(
        f'<li>{chip(entry["hex"])}{escape(entry["name"])} <span class="g-soft g-num">{escape(code)}</span></li>'
        for code, entry in known.items()
    )
    why = words.CLOSE_PAINTS_WHY.format(name=tile.paint["name"])
    st.html(f'<p class="g-small">{escape(why)}</p><ul class="g-close">{rows}</ul>')
