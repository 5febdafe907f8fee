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
    return Path(__file__).with_name("style.css").read_text(encoding="utf-8")
