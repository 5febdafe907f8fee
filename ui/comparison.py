"""Up to four paints side by side over what stays, and how each pair differs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape
from typing import TYPE_CHECKING, Any

import streamlit as st

from matcher.service.live import compared
from ui.swatches import in_numbers, strip, swatch

if TYPE_CHECKING:
    from matcher.service.desk import Desk

Json = Mapping[str, Any]


def show_comparison(desk: Desk, paints: Sequence[Json], surfaces: Sequence[Json], pixels: Mapping[str, bytes]) -> None:
    """Show the paints edge to edge, so that the eye finds the undertone, and the differences pair by pair."""
    swatches = "".join(f"<div>{swatch(paint)}</div>" for paint in paints)
    names = "".join(
        f'<div style="padding-top:0.5rem"><strong>{escape(paint["name"])}</strong><br>'
        f'<span class="g-soft g-num">{escape(paint["code"])}, LRV {paint["lrv"]:.0f}</span></div>'
        for paint in paints
    )
    st.html(
        f'<div class="g-ground"><div class="g-compare">{swatches}</div>{strip(surfaces, pixels)}</div>'
        f'<div class="g-compare">{names}</div>'
    )
    by_code = {paint["code"]: paint["name"] for paint in paints}
    pairs = compared(desk, list(by_code))
    rows = "".join(
        f"<tr><th scope='row'>{escape(by_code[pair['a']])} / {escape(by_code[pair['b']])}</th>"
        f"<td>{escape(pair['says'])}</td></tr>"
        for pair in pairs
    )
    numbers = in_numbers(f"{by_code[pair['a']]} / {by_code[pair['b']]}: {pair['numbers']}" for pair in pairs)
    st.html(f'<table class="g-table">{rows}</table>{numbers}')
