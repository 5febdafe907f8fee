"""Up to four paints side by side over what stays, and how each pair differs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape
from typing import TYPE_CHECKING, Any

import streamlit as st

from matcher.service.live import compared
from ui.swatches import band, in_numbers, pixels_of

if TYPE_CHECKING:
    from matcher.service.desk import Desk
    from matcher.service.tiles import Tile

Json = Mapping[str, Any]


def show_columns(tiles: Sequence[Tile], surfaces: Sequence[Json], pixels: Mapping[str, bytes]) -> None:
    """Show the paints edge to edge as columns and what stays as lanes across them, so that each meets each."""
    columns = "".join(
        f'<span style="background:{tile.paint["hex"]}" role="img" aria-label="{escape(tile.paint["name"])}"></span>'
        for tile in tiles
    )
    lanes = "".join(f"<div>{pixels_of(surface, pixels)}{band(surface)}</div>" for surface in surfaces)
    names = "".join(
        f"<div><strong>{escape(tile.paint['name'])}</strong><br>"
        f'<span class="g-soft g-num">{escape(tile.code)}</span><br>'
        f'<span class="g-num">LRV {tile.paint["lrv"]:.0f}</span></div>'
        for tile in tiles
    )
    ground = "pale" if all(tile.ground == "pale" for tile in tiles) else "ground"
    st.html(
        f'<div class="g-lanes g-on-{ground}"><div class="g-lanes-paints">{columns}</div>'
        f'<div class="g-lanes-stays">{lanes}</div></div><div class="g-lanes-names">{names}</div>'
    )


def show_differences(desk: Desk, tiles: Sequence[Tile]) -> None:
    """Say what tells every pair of the paints apart, the numbers folded."""
    by_code = {tile.code: str(tile.paint["name"]) for tile in tiles}
    pairs = compared(desk, list(by_code))
    rows = "".join(
        f"<tr><th scope='row'>{escape(by_code[pair['a']])} / {escape(by_code[pair['b']])}</th>"
        f"<td>{escape(pair['says'])}</td></tr>"
        for pair in pairs
    )
    numbers = in_numbers(f"{by_code[pair['a']]} / {by_code[pair['b']]}: {pair['numbers']}" for pair in pairs)
    st.html(f'<table class="g-table g-differ">{rows}</table>{numbers}')
