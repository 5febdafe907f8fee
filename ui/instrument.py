"""Readings of an instrument on the page of marks: entered, shown as understood, kept, taken out again."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import streamlit as st

from matcher.errors import GivensError
from matcher.service import choices, instrument
from ui import words
from ui.choosing.component import Handed, hand_file
from ui.messages import show_error, show_note, show_notes
from ui.saving import save
from ui.swatches import reading_block, reading_line

if TYPE_CHECKING:
    from matcher.service.instrument import Understood
    from matcher.service.records import StoredRoom
    from ui.state import Visit

# Assumption: more than any instrument writes of one surface.
_MOST_MB = 2


@dataclass(frozen=True, slots=True)
class _Proposed:
    """A reading that waits to be kept, and the surface it is of."""

    surface: str
    material: str
    understood: Understood


def show_readings(visit: Visit, room: StoredRoom) -> None:
    """Show what instruments said of surfaces of the room, and where to enter more."""
    st.subheader(words.INSTRUMENT, anchor=False)
    for kept in instrument.kept_readings(room.document):
        text, button = st.columns([3, 2], vertical_alignment="center")
        text.html(reading_line(kept))
        if button.button(words.INSTRUMENT_REMOVE.format(surface=kept.name), key=f"drop-{kept.name}", width="stretch"):
            _save(visit, room, instrument.without_reading(room.document, kept.name))
    key = f"reading-{room.id}"
    with st.expander(words.INSTRUMENT_ADD, expanded=key in st.session_state):
        st.write(words.INSTRUMENT_INTRO)
        _form(room, key)
        if key in st.session_state:
            _proposed(visit, room, key)


def _form(room: StoredRoom, key: str) -> None:
    materials = instrument.outlined(room.document)
    known = list(dict.fromkeys([*materials, *(kept.name for kept in instrument.kept_readings(room.document))]))
    surface = st.selectbox(words.INSTRUMENT_SURFACE, [*known, words.INSTRUMENT_OTHER])
    file = _chosen_file(f"{key}-file")
    with st.form(f"{key}-form", border=False):
        name, material = surface, materials.get(surface, choices.MATERIALS[0])
        if surface == words.INSTRUMENT_OTHER:
            name = st.text_input(words.INSTRUMENT_NAME, max_chars=120)
            material = st.selectbox(words.INSTRUMENT_MATERIAL, choices.MATERIALS)
        text = st.text_area(words.INSTRUMENT_VALUES, placeholder=words.INSTRUMENT_EXAMPLE, height=110)
        left, right = st.columns(2)
        light = left.selectbox(words.INSTRUMENT_LIGHT, [None, *choices.LIGHTS], format_func=_light)
        observer = right.selectbox(words.INSTRUMENT_OBSERVER, [None, *choices.OBSERVERS], format_func=_observer)
        if not st.form_submit_button(words.INSTRUMENT_READ):
            return
    st.session_state.pop(key, None)
    if bool(text.strip()) == (file is not None):
        show_note(words.INSTRUMENT_ONE_OF_TWO)
        return
    try:
        source = text if file is None else file.data
        understood = instrument.understand(source, light=light, observer=observer)
    except GivensError as error:
        show_error(error)
    else:
        st.session_state[key] = _Proposed(name, material, understood)


def _chosen_file(key: str) -> Handed | None:
    """Let a file be chosen, or put back; return the one that is chosen."""
    handed = hand_file(words.INSTRUMENT_FILE, key=f"{key}-chooser", most_mb=_MOST_MB)
    if handed is not None:
        st.session_state[key] = handed
    chosen: Handed | None = st.session_state.get(key)
    if chosen is None:
        st.caption(words.INSTRUMENT_FILE_KINDS)
        return None
    name, button = st.columns([3, 2], vertical_alignment="center")
    name.write(words.INSTRUMENT_FILE_CHOSEN.format(name=chosen.name))
    if button.button(words.INSTRUMENT_FILE_DROP, key=f"{key}-drop", width="stretch"):
        del st.session_state[key]
        st.rerun()
    return chosen


def _proposed(visit: Visit, room: StoredRoom, key: str) -> None:
    proposed: _Proposed = st.session_state[key]
    st.html(reading_block(proposed.understood))
    show_notes(proposed.understood.remarks)
    keep, discard = st.columns([3, 2])
    if keep.button(words.INSTRUMENT_KEEP.format(surface=proposed.surface), type="primary", width="stretch"):
        try:
            document = instrument.with_reading(
                room.document, proposed.understood, surface=proposed.surface, material=proposed.material
            )
        except GivensError as error:
            show_error(error)
        else:
            del st.session_state[key]
            _save(visit, room, document)
    if discard.button(words.INSTRUMENT_DISCARD, width="stretch"):
        del st.session_state[key]
        st.rerun()


def _save(visit: Visit, room: StoredRoom, document: dict[str, object]) -> None:
    if save(visit, room, document):
        st.rerun()


def _light(light: str | None) -> str:
    return words.INSTRUMENT_AS_WRITTEN if light is None else choices.LIGHTS[light]


def _observer(observer: int | None) -> str:
    return words.INSTRUMENT_AS_WRITTEN if observer is None else choices.OBSERVERS[observer]
