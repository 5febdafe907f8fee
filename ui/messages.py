"""Problems as the screen shows them: each what, where and what to do, in the words it came with."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

import streamlit as st

from matcher.errors import GivensError, StoreError
from ui import words


def show_error(error: GivensError) -> None:
    """Show every problem of an error."""
    show_problems(problems_of(error))


def householder_problems(error: GivensError) -> list[str]:
    """Return the problems of an error as a householder reads them: where things are kept is no business of theirs."""
    return [words.NOT_NOW] if isinstance(error, StoreError) else problems_of(error)


def problems_of(error: GivensError) -> list[str]:
    """Return the problems of an error as text."""
    return [str(problem) for problem in error.problems]


def show_problems(problems: Iterable[str]) -> None:
    """Show problems as one quiet block; nothing where there are none."""
    _show(problems, ' role="alert"')


def show_notes(texts: Iterable[str]) -> None:
    """Show remarks as one quiet block; nothing where there are none."""
    _show(texts, "")


def show_note(text: str) -> None:
    """Show a remark."""
    show_notes([text])


def _show(texts: Iterable[str], role: str) -> None:
    lines = "".join(f"<p>{escape(text)}</p>" for text in texts)
    if lines:
        st.html(f'<div class="g-note"{role}>{lines}</div>')
