"""Marking what stays: cards confirmed, surfaces outlined, their colours beside them as they are found."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import streamlit as st

from matcher.errors import AwayError, GivensError
from matcher.service import live
from matcher.service.ahead import STILL_MARKING_S, prepare_ahead
from matcher.service.photo_tasks import photo_tasks
from matcher.service.strip import chips_of_strip
from ui import words
from ui.header import room_page
from ui.instrument import show_readings
from ui.marking.component import (
    CardsRefused,
    MarksChanged,
    MarkSelected,
    PhotoChosen,
    PhotoThumb,
    Proposal,
    StripCounted,
    StrokeDrawn,
    mark_photo,
    put_back,
    take_event,
)
from ui.marking.words import TASK_STATES, task_words
from ui.marking_store import PhotoMarks
from ui.measured import measured_cards
from ui.messages import show_error, show_note, show_notes, show_problems
from ui.next_photo import show_request
from ui.nothing_yet import show_nothing_yet
from ui.old_chips import show_old_chips
from ui.swatches import surface_block

if TYPE_CHECKING:
    from matcher.service.photo_tasks import PhotoTask
    from matcher.service.records import StoredPhoto, StoredRoom
    from ui.state import Visit

_PHOTO = "photo"  # in the address: the name of the photo that is shown


def main() -> None:
    """Show the photo to mark and the colours found so far."""
    visit, room, _ = room_page("mark", words.MARK_TITLE)
    if not room.photos:
        show_nothing_yet(room, words.MARK_NO_PHOTOS, "photos")
        # A room can be measured without a photo.
        if room.document.get("surfaces"):
            _colours(visit, room)
        show_readings(visit, room)
        return
    _desk(visit, room, _photo(room))


def _photo(room: StoredRoom) -> StoredPhoto:
    """Return the photo that the address names, else the first on which something is to do, and name it there."""
    by_name = {photo.name: photo for photo in room.photos}
    asked = by_name.get(st.query_params.get(_PHOTO, ""))
    if asked is None:
        waiting = [task.name for task in photo_tasks(room) if task.task != "done"]
        asked = by_name[[*waiting, *by_name][0]]
        # It stays the one that is shown once it is done.
        st.query_params[_PHOTO] = asked.name
    return asked


def _desk(visit: Visit, room: StoredRoom, photo: StoredPhoto) -> None:
    """The photo and, beside it, what is measured.

    Not a fragment: one that is asked to run again before the page has run once is lost, and the page stands still.
    """
    marks = PhotoMarks(visit, room, photo)
    # First what was done, then what there is to show of it.
    with st.container(key="notes"):
        _take(marks)
        _conflict(marks)
        show_problems(marks.faults)
        show_request(visit, marks.room)
    with st.container(key="desk"):
        _tool(marks)
        with st.container(key="measured"):
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
                    cards=marks.cards(),
                )
                state[f"{key}-proposal"] = Proposal(event.serial, tuple(tuple(outline) for outline in outlines))
            elif isinstance(event, StripCounted):
                chips = chips_of_strip(event.polygon, event.count)
                state[f"{key}-strip"] = Proposal(event.serial, tuple(tuple(chip) for chip in chips))
            elif isinstance(event, MarkSelected):
                state[f"{key}-selected"] = event.id
            elif isinstance(event, CardsRefused):
                _refused()[photo.sha] = event.sets
            elif isinstance(event, PhotoChosen):
                _show(marks.room, event.sha)
    except AwayError:
        put_back(key)
        raise
    except GivensError as error:
        show_error(error)


def _show(room: StoredRoom, sha: str) -> None:
    for photo in room.photos:
        if photo.sha == sha and photo.name != st.query_params.get(_PHOTO):
            st.query_params[_PHOTO] = photo.name
            st.rerun()


def _refused() -> dict[str, tuple[str, ...]]:
    """The sets of proposed cards that are none, by the photo's sha: what a person said of them in this session."""
    refused: dict[str, tuple[str, ...]] = st.session_state.setdefault("cards-refused", {})
    return refused


def _key(photo: StoredPhoto) -> str:
    return f"marking-{photo.sha}"


def _tool(marks: PhotoMarks) -> None:
    photo, key = marks.photo, _key(marks.photo)
    shown = marks.shown()
    mark_photo(
        key,
        picture_url=_address(marks.room, photo.sha),
        size=(photo.width, photo.height),
        marks=shown,
        selected=st.session_state.get(f"{key}-selected"),
        revision=marks.room.revision,
        proposal=st.session_state.get(f"{key}-proposal"),
        strip=st.session_state.get(f"{key}-strip"),
        known=marks.known(),
        found=marks.found(),
        refused=_refused().get(photo.sha, ()),
        photos=[_thumb(marks.room, task) for task in photo_tasks(marks.room, _refused())],
        here=photo.sha,
        fill=True,
        paints=live.chip_paints(marks.visit.desk, marks.room, photo.name, [mark.paint for mark in shown if mark.paint]),
        paints_url="/paints",
    )


def _thumb(room: StoredRoom, task: PhotoTask) -> PhotoThumb:
    return PhotoThumb(
        sha=task.sha,
        name=task.name,
        title=task.title,
        url=_address(room, task.sha),
        state=TASK_STATES[task.task],
        task=task_words(task),
    )


def _address(room: StoredRoom, sha: str) -> str:
    return f"/pictures/{room.id}/{sha}"


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


def _colours(visit: Visit, room: StoredRoom) -> None:
    found = live.measured(visit.desk, room)
    waiting = [name for name in live.outlined_names(room) if name not in {each["name"] for each in found.surfaces}]
    st.html(measured_cards(found.surfaces, waiting))
    show_problems(found.problems)
    show_old_chips(visit, room, found.old_chips)
    if not found.surfaces and not waiting:
        st.write(words.NO_COLOURS)
    if not found.surfaces:
        return
    pixels = live.pictures(visit.desk, room)
    with st.expander(words.COLOURS_CLOSE):
        for surface in found.surfaces:
            st.html(surface_block(surface, pixels))
    if found.warnings:
        with st.expander(words.DOUBTS):
            show_notes(found.warnings)


main()
