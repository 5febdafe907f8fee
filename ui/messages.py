"""Problems as the screen shows them: each what, where and what to do, in the words it came with."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

import streamlit as st

from matcher.errors import GivensError


def show_error(error: GivensError) -> None:
    """Show every problem of an error."""
    show_problems(str(problem) for problem in error.problems)


def show_problems(problems: Iterable[str]) -> None:
    """Show problems as one quiet block; nothing where there are none."""
    lines = "".join(f"<p>{escape(text)}</p>" for text in problems)
    if lines:
        st.html(f'<div class="g-note" role="alert">{lines}</div>')


def show_note(text: str) -> None:
    """Show a remark."""
    st.html(f'<div class="g-note"><p>{escape(text)}</p></div>')
