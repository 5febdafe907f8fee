"""The way on: at the end of a step's page a button to the next step, by its name."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

from ui import words
from ui.state import ROOM

if TYPE_CHECKING:
    from matcher.service.records import StoredRoom


def onward(room: StoredRoom, here: str) -> None:
    """Draw the button that leads from the step ``here`` to the one after it; nothing after the last."""
    steps = list(words.STEPS)
    following = steps[steps.index(here) + 1 :]
    if following:
        with st.container(key="onward", horizontal=True):
            label = words.NEXT_STEP.format(step=words.STEPS[following[0]])
            page = f"pages/{following[0]}.py"
            st.page_link(page, label=label, query_params={ROOM: room.id}, width="content")
