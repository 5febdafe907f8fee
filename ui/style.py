"""The look of every page: quiet, typographic, neutral ground under swatches; no font or script from the net."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import streamlit as st


def dress(title: str) -> None:
    """Set the tab's title and put the style sheet on the page; the first thing a page does."""
    st.set_page_config(page_title=f"{title} · Givens", page_icon="▪", layout="wide", initial_sidebar_state="collapsed")
    st.html(f"<style>{_sheet()}</style>")


@cache
def _sheet() -> str:
    """Every sheet of ui/looks, the whole app's first: what a page adds stands in a sheet of its name."""
    looks = Path(__file__).with_name("looks")
    sheets = sorted(looks.glob("*.css"), key=lambda sheet: (sheet.stem != "page", sheet.stem))
    return "\n".join(sheet.read_text(encoding="utf-8") for sheet in sheets)
