"""Marking what stays: cards checked, surfaces outlined, their colours beside them as they are found."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import streamlit as st

from matcher.errors import GivensError
from matcher.service import live
from matcher.service.ahead import STILL_MARKING_S, prepare_ahead
from matcher.service.marks import proposed_cards
from matcher.service.strip import chips_of_strip
from ui import words
from ui.header import room_page
from ui.instrument import show_readings
from ui.marking.component import (
    MarksChanged,
    MarkSelected,
    Proposal,
    StripCounted,
    StrokeDrawn,
    mark_photo,
    take_event,
)
from ui.marking_store import PhotoMarks
from ui.messages import show_error, show_note, show_notes, show_problems
from ui.next_photo import show_request
from ui.state import Visit
from ui.swatches import surface_block

if TYPE_CHECKING:
    from matcher.service.records import StoredPhoto, StoredRoom


def main() -> None:
    """Show the photo to mark and the colours found so far."""
    visit, room, _ = room_page("mark", words.MARK_TITLE)
    if not room.photos:
        show_note(words.MARK_NO_PHOTOS)
        # A room can be measured without a photo.
        _colours(visit, room)
        show_readings(visit, room)
        return
    names = [photo.name for photo in room.photos]
    name = st.selectbox(words.PHOTO, names, key="photo", bind="query-params")
    _desk(visit, room, name if name in names else names[0])


def _desk(visit: Visit, room: StoredRoom, name: str) -> None:
    """The photo and, beside it, what is measured.

    Not a fragment: one that is asked to run again before the page has run once is lost, and the page stands still.
    """
    photo = next(photo for photo in room.photos if photo.name == name)
    marks = PhotoMarks(visit, room, photo)
    # First what was done, then what there is to show of it.
    _take(marks)
    picture, colours = st.columns([3, 2], gap="large")
    with picture:
        _conflict(marks)
        _proposal(marks)
        _tool(marks)
    with colours:
        show_request(visit, marks.room)
        _colours(visit, marks.room)
        show_readings(visit, marks.room)
    prepare_ahead(visit.desk, marks.room, after_s=STILL_MARKING_S)


def _take(marks: PhotoMarks) -> None:
    """Save what was drawn, answer strokes with a proposal, remember what is chosen."""
    photo, key = marks.photo, _key(marks.photo)
    state: Any = st.session_state
    try:
        while event := take_event(key, (photo.width, photo.height)):
            if isinstance(event, MarksChanged):
                marks.save([mark.as_data() for mark in event.marks], base_revision=event.base_revision)
            elif isinstance(event, StrokeDrawn):
                outlines = live.proposed(
                    marks.visit.desk,
                    marks.room,
                    photo.sha,
                    event.include,
                    event.exclude,
                    tolerance=event.tolerance,
                )
                state[f"{key}-proposal"] = Proposal(event.serial, tuple(tuple(outline) for outline in outlines))
            elif isinstance(event, StripCounted):
                chips = chips_of_strip(event.polygon, event.count)
                state[f"{key}-strip"] = Proposal(event.serial, tuple(tuple(chip) for chip in chips))
            elif isinstance(event, MarkSelected):
                state[f"{key}-selected"] = event.id
    except GivensError as error:
        show_error(error)


def _key(photo: StoredPhoto) -> str:
    return f"marking-{photo.sha}"


def _tool(marks: PhotoMarks) -> None:
    photo, key = marks.photo, _key(marks.photo)
    show_problems(marks.faults)
    shown = marks.shown()
    mark_photo(
        key,
        picture_url=f"/pictures/{marks.room.id}/{photo.sha}",
        size=(photo.width, photo.height),
        marks=shown,
        selected=st.session_state.get(f"{key}-selected"),
        revision=marks.room.revision,
        proposal=st.session_state.get(f"{key}-proposal"),
        strip=st.session_state.get(f"{key}-strip"),
        known=marks.known(),
        paints=live.known_paints(marks.visit.desk, (mark.paint for mark in shown if mark.paint)),
        paints_url="/paints",
    )


def _conflict(marks: PhotoMarks) -> None:
    if marks.pending() is None:
        return
    show_note(words.CONFLICT)
    theirs, mine = st.columns(2)
    if theirs.button(words.CONFLICT_THEIRS, width="stretch"):
        marks.give_up()
        st.rerun()
    if mine.button(words.CONFLICT_MINE, width="stretch"):
        marks.insist()
        st.rerun()


def _proposal(marks: PhotoMarks) -> None:
    shown = marks.shown()
    if any(mark.kind == "card" and mark.reference != "paint chip" for mark in shown):
        return
    found = proposed_cards(marks.photo.verdict, [mark.as_data() for mark in shown])
    if not found:
        return
    text, button = st.columns([3, 2], vertical_alignment="center")
    text.write(words.CARDS_FOUND.format(count=len(found)))
    if button.button(words.TAKE_CARD, width="stretch"):
        marks.save([*found, *(mark.as_data() for mark in shown)], base_revision=marks.room.revision)
        st.rerun()


def _colours(visit: Visit, room: StoredRoom) -> None:
    st.subheader(words.COLOURS)
    found = live.measured(visit.desk, room)
    show_problems(found.problems)
    if not found.surfaces:
        st.write(words.NO_COLOURS)
        return
    pixels = live.pictures(visit.desk, room)
    for surface in found.surfaces:
        st.html(surface_block(surface, pixels))
    if found.warnings:
        st.subheader(words.DOUBTS)
        show_notes(found.warnings)


main()
