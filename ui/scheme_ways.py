"""Ways on from the scheme, each one press to take: the whites for the trim, what goes with the walls, other schemes."""

from __future__ import annotations

from html import escape
from itertools import groupby
from typing import TYPE_CHECKING, Any

import streamlit as st

from matcher.service import choices, sharing
from matcher.service.companions import companion_tiles, trim_tiles
from matcher.service.scheme_choices import place_of, with_paint, with_paints
from ui import words
from ui.share_card import scheme_address
from ui.swatches import paints_band, paints_named
from ui.taking import take

if TYPE_CHECKING:
    from matcher.service.companions import CompanionTile, Swatch, TrimTile
    from matcher.service.live import LiveRanking
    from matcher.service.painted_room import PaintedRoom
    from matcher.service.records import StoredRoom
    from ui.state import Visit

Json = dict[str, Any]


def section_head(title: str, note: str = "") -> str:
    """Return the head of a section of the page, with what it is about beside it."""
    beside = f'<p class="g-small g-soft">{escape(note)}</p>' if note else ""
    return f'<div class="s-line"><h2 class="s-head">{escape(title)}</h2>{beside}</div>'


def show_trim_ladder(visit: Visit, room: StoredRoom, ranked: LiveRanking) -> None:
    """Show the whites for the trim from stark to creamy, with what each does to these walls and what stays."""
    tiles = trim_tiles(ranked)
    if not tiles:
        return
    st.html(section_head(words.LADDER, words.LADDER_NOTE))
    walls = _walls(ranked)
    with st.container(key="ladder"):
        for tile in tiles:
            with st.container(key=f"white-{tile.step}"):
                name, _, about = tile.title.partition(": ")
                head = f'<h3>{escape(name)} <span class="g-soft g-small">{escape(about)}</span></h3>'
                st.html(_card(tile, walls, head, _lines(tile)))
                if tile.paint is not None:
                    _take_for(visit, room, "trim", tile.paint, key=f"white-take-{tile.step}", chosen=tile.chosen)


def show_companions(visit: Visit, room: StoredRoom, ranked: LiveRanking) -> None:
    """Show what goes with the walls: a lighter paint, a darker one, a partner, each with the role it would take."""
    tiles = companion_tiles(ranked)
    if not tiles:
        return
    st.html(section_head(words.COMPANIONS, words.COMPANIONS_NOTE))
    walls = _walls(ranked)
    now = {paint["id"]: paint["code"] for paint in ranked.scheme["paints"]}
    with st.container(key="companions"):
        for tile in tiles:
            with st.container(key=f"companion-{tile.kind}"):
                head, why = f"<h3>{escape(tile.title)}</h3>", f'<p class="g-small">{escape(tile.text)}.</p>'
                st.html(_card(tile, walls, head, why))
                if tile.paint is not None:
                    role = place_of(tile.kind, list(now))
                    chosen = now.get(role) == tile.paint.code
                    _take_for(visit, room, role, tile.paint, key=f"companion-take-{tile.kind}", chosen=chosen)


def show_others(visit: Visit, room: StoredRoom, scheme: Json, picture: PaintedRoom) -> None:
    """Show schemes that differ in kind, each with what it trades away."""
    if not scheme["alternatives"] and not scheme["few"]:
        return
    st.html(section_head(words.SCHEME_OTHER, scheme["few"] or words.SCHEME_OTHER_NOTE))
    if not scheme["alternatives"]:
        return
    with st.container(key="ways", horizontal=True, gap="small"):
        for place, other in enumerate(scheme["alternatives"]):
            with st.container(key=f"way-{place}"):
                painted = ""
                if sharing.looks_otherwise(other["paints"], scheme["paints"], picture):
                    painted = f'<img src="{escape(scheme_address(room, other["paints"]))}" alt="" loading="lazy">'
                st.html(
                    f"{painted}{paints_band(other['paints'])}"
                    f'<h3>{escape(other["title"])}</h3><p class="g-small">{escape(other["trade"])}.</p>'
                    f'<p class="g-soft g-small">{escape(paints_named(other["paints"]))}</p>'
                )
                if st.button(words.SCHEME_FOLLOWS, key=f"take-{place}", help=other["title"]):
                    said = words.SCHEME_TAKEN.format(title=other["title"])
                    take(visit, room, with_paints(room.document, sharing.codes_of(other["paints"])), said)


def _take_for(visit: Visit, room: StoredRoom, role: str, paint: Swatch, *, key: str, chosen: bool) -> None:
    """Offer to take a paint for a role; nothing to press where it is the scheme's already."""
    title = choices.ROLES[role].lower()
    label = words.SCHEME_USED_FOR if chosen else words.SCHEME_USE_FOR
    if st.button(label.format(role=title), key=key, disabled=chosen):
        said = words.SCHEME_KEPT.format(name=paint.name, role=title)
        take(visit, room, with_paint(room.document, role, paint.code), said)


def _walls(ranked: LiveRanking) -> str:
    """Return the colour of the walls, hex; "" where none are painted."""
    return next((paint["hex"] for paint in ranked.scheme["paints"] if paint["id"] == "walls"), "")


def _card(tile: TrimTile | CompanionTile, walls: str, head: str, told: str) -> str:
    """Return a paint beside the walls, its head, its name and what is ``told`` of it; or that the deck has none."""
    if tile.paint is None:
        return f"{head}<p>{escape(tile.text)}</p>"
    return f"{_touching(tile.paint, walls)}{head}{_named(tile.paint)}{told}"


def _touching(paint: Swatch, walls: str) -> str:
    """Return a paint edge to edge with the walls'."""
    beside = f'<span style="background:{walls}"></span>' if walls else ""
    return (
        f'<div class="s-touching g-on-{paint.ground}" role="img" aria-label="{escape(paint.name)}">'
        f'<span style="background:{paint.hex}"></span>{beside}</div>'
    )


def _named(paint: Swatch) -> str:
    return (
        f'<p class="s-called"><strong class="g-serif">{escape(paint.name)}</strong> '
        f'<span class="g-soft g-num g-small">{escape(paint.code)} · LRV {paint.lrv:.0f}</span></p>'
    )


def _lines(tile: TrimTile) -> str:
    """Return what a white does beside everything: what looks amiss in full, what is well together by kind."""
    amiss = [f'<li class="look">{escape(line.text)}.</li>' for line in tile.lines if not line.well]
    well = sorted((line for line in tile.lines if line.well), key=lambda line: line.verdict)
    fine = [
        f"<li>{escape(words.LADDER_WELL[verdict].format(names=sharing.listed(line.name for line in lines)))}</li>"
        for verdict, lines in groupby(well, key=lambda line: line.verdict)
    ]
    return f'<ul class="s-does">{"".join(amiss + fine)}</ul>'
