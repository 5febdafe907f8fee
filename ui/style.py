"""The look of every page: quiet, typographic, neutral ground under swatches; no font or script from the net."""

from __future__ import annotations

from datetime import timedelta

import streamlit as st

from ui.sheet import sheet_address


def dress(title: str) -> None:
    """Set the tab's title and put the style sheet on the page; the first thing a page does."""
    st.set_page_config(page_title=f"{title} · Givens", page_icon="▪", layout="wide", initial_sidebar_state="collapsed")
    put_on_sheet()
    _come_back()


def put_on_sheet() -> None:
    """Put the style sheet on the page, first of what is not shown in a place of its own."""
    # By its address, so that a browser keeps it: as text it would come again with every page.
    st.html(f'<style>@import url("{sheet_address()}");</style>')


@st.fragment(run_every=timedelta(days=1))
def _come_back() -> None:
    """Have the page run when the browser is connected again.

    Streamlit's part in the browser asks for that only where something of the page runs by itself. Another server, or
    the same one started anew, knows nothing of the page until it has run, and would not save what is changed first.
    """
