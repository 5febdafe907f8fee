"""Choosing files is sending them: each is taken at once, and the chooser is empty again for the next."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import streamlit as st

from matcher.errors import GivensError, Problem


def take_files(
    label: str, take: Callable[[bytes, str], Any], *, key: str, help_text: str | None = None
) -> list[Problem]:
    """Show the chooser, hand each chosen file to ``take``, and return what was wrong with those it refused."""
    turn = st.session_state.setdefault(f"{key}-turn", 0)
    told: list[Problem] = st.session_state.pop(f"{key}-told", [])
    files = st.file_uploader(label, accept_multiple_files=True, key=f"{key}-{turn}")
    if files:
        problems: list[Problem] = []
        for file in files:
            try:
                take(file.getvalue(), file.name)
            except GivensError as error:
                problems += error.problems
        # A chooser with a new name is an empty one; what went wrong is told on the run that shows it.
        st.session_state[f"{key}-turn"] = turn + 1
        st.session_state[f"{key}-told"] = problems
        st.rerun()
    return told
