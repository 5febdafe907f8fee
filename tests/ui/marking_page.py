"""The script of marking_app.py: stores each change in a file, as the app's store would, and prints what it holds."""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import Any

import streamlit as st

from matcher.service import propose_outlines, regions_of
from ui.marking.component import MarksChanged, MarkSelected, Proposal, StrokeDrawn, mark_photo, take_event
from ui.marking.events import Mark

PHOTO = Path(os.environ["MARKING_PHOTO"])
STORED = Path(os.environ["MARKING_STORED"])
SIZE = (1600, 1200)


@st.cache_resource
def graph() -> Any:
    return regions_of(PHOTO)


def stored() -> tuple[int, list[Mark]]:
    if not STORED.exists():
        return 0, []
    data = json.loads(STORED.read_text())
    return data["revision"], [
        Mark(**{**one, "polygon": tuple(tuple(p) for p in one["polygon"])}) for one in data["marks"]
    ]


def store(event: MarksChanged, revision: int) -> None:
    data = {"revision": revision, "marks": [mark.as_data() for mark in event.marks]}
    waiting = STORED.with_suffix(".part")
    waiting.write_text(json.dumps(data))
    waiting.replace(STORED)


@st.fragment
def tool() -> None:
    revision, marks = stored()
    state = st.session_state
    while event := take_event("photo", SIZE):
        if isinstance(event, MarksChanged) and event.marks == tuple(marks):
            pass  # sent twice, after a broken connection
        elif isinstance(event, MarksChanged) and event.base_revision == revision:
            store(event, revision + 1)
        elif isinstance(event, MarksChanged):
            state.refused = state.get("refused", 0) + 1
        elif isinstance(event, StrokeDrawn):
            outlines = propose_outlines(graph(), event.include, event.exclude, tolerance=event.tolerance)
            state.proposal = Proposal(event.serial, tuple(tuple(outline) for outline in outlines))
        elif isinstance(event, MarkSelected):
            state.chosen = event.id
        revision, marks = stored()
    mark_photo(
        "photo",
        picture_url="/test-photo.jpg",
        size=SIZE,
        marks=marks,
        selected=state.get("chosen"),
        revision=revision,
        read_only="read_only" in st.query_params,
        proposal=state.get("proposal"),
    )
    st.text(f"revision {revision}, {len(marks)} marks, refused {state.get('refused', 0)}")


st.set_page_config(page_title="Marking", layout="wide")
graph()
if st.button("Run again"):
    st.text("An element above the tool")
tool()
