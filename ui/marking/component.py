"""The marking tool on a page: what it is given, and what it tells.

The app calls :func:`take_event` until it returns None, stores what changed, then calls :func:`mark_photo` with what is
stored. What the browser has drawn is kept there until the server answers with a newer revision, so no run loses it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

import streamlit as st

from ui.marking.events import (
    CardsRefused,
    Line,
    Mark,
    MarkingEvent,
    MarksChanged,
    MarkSelected,
    PhotoChosen,
    Size,
    StripCounted,
    StrokeDrawn,
    parse_cards_refused,
    parse_mark_selected,
    parse_marks_changed,
    parse_photo_chosen,
    parse_strip_counted,
    parse_stroke_drawn,
)
from ui.marking.words import WORDS

if TYPE_CHECKING:
    from streamlit.components.v2.types import ComponentRenderer

_FOLDER = Path(__file__).parent
# In the order they are read; together they are one ES module, so no build step and no second request.
_SCRIPTS = (
    "geometry",
    "element",
    "view",
    "marks",
    "drafts",
    "strip",
    "drawing",
    "pointer",
    "keyboard",
    "paint_picker",
    "strip_form",
    "card_set",
    "form",
    "list",
    "photos",
    "frame",
    "marking",
)
# In the order they are taken: what was drawn is stored before another photo comes.
_PARSERS: dict[str, Callable[[Any, Size], MarkingEvent]] = {
    "marks": parse_marks_changed,
    "stroke": parse_stroke_drawn,
    "selected": lambda raw, _: parse_mark_selected(raw),
    "strip": parse_strip_counted,
    "refused": lambda raw, _: parse_cards_refused(raw),
    "photo": lambda raw, _: parse_photo_chosen(raw),
}
_VALUES = tuple(_PARSERS)


@dataclass(frozen=True, slots=True)
class Proposal:
    """Outlines proposed for the strokes, or for the strip of chips, of the event with this ``serial``."""

    serial: int
    outlines: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class PhotoThumb:
    """A photo of the room below the stage: what it is called and what is still to do on it, in words.

    ``state`` is done, under way or to do; ``url`` of a picture, ``name`` the file's.
    """

    sha: str
    name: str
    title: str
    url: str
    state: str
    task: str


def mark_photo(
    key: str,
    *,
    picture_url: str,
    size: Size,
    marks: Sequence[Mark],
    selected: str | None,
    revision: int,
    read_only: bool = False,
    proposal: Proposal | None = None,
    strip: Proposal | None = None,
    known: Mapping[str, str] | None = None,
    found: Sequence[Mark] = (),
    refused: Sequence[str] = (),
    photos: Sequence[PhotoThumb] = (),
    here: str = "",
    fill: bool = False,
    paints: Mapping[str, Mapping[str, str]] | None = None,
    paints_url: str = "",
) -> MarkingEvent | None:
    """Show a photo with its marks and return what the person did since, as :func:`take_event` does.

    ``key`` names photo and place. ``picture_url`` is of a display-size picture, ``size`` (width, height) of the
    upright full-size photo in whose pixels marks are given. ``revision`` counts the stored marks' changes. Where an
    event is stored only after this call, a rerun shows the new revision. ``known`` are surfaces on other photos by
    name, with their material: offered for the same surface, given to a new one only where its cards are said to lie
    on it. ``found`` are cards proposed, to be confirmed a set at a time, but not the sets that are ``refused``.
    ``photos`` are those of the room, of which this is the one with the sha ``here``. ``fill``: take the height of the
    container that stands around the tool, and leave its lower right free. ``paints`` are those of the deck that marks
    name, by code, each with ``code``, ``name`` and ``hex``; ``paints_url`` answers ``?like=`` a few letters
    (``&after=`` a code)
    with a JSON list of such, best first.
    """
    data = {
        "key": key,
        "picture": picture_url,
        "size": list(size),
        "marks": [mark.as_data() for mark in marks],
        "selected": selected,
        "revision": revision,
        "read_only": read_only,
        "heard": dict(_heard(key)),
        "proposal": _as_data(proposal),
        "strip": _as_data(strip),
        "known": dict(known or {}),
        "found": [mark.as_data() for mark in found],
        "refused": list(refused),
        "photos": [asdict(photo) for photo in photos],
        "here": here,
        "fill": fill,
        "paints": {code: dict(paint) for code, paint in (paints or {}).items()},
        "paints_url": paints_url,
        "words": WORDS,
    }
    listening: dict[str, Any] = {f"on_{value}_change": _nothing for value in _VALUES}
    _renderer()(key=key, data=data, **listening)
    return take_event(key, size)


def _as_data(proposal: Proposal | None) -> dict[str, Any] | None:
    return None if proposal is None else {"serial": proposal.serial, "outlines": proposal.outlines}


def take_event(key: str, size: Size) -> MarkingEvent | None:
    """Return the next thing the person did, each once, or None.

    Raises :class:`matcher.errors.RequestError` where the browser sent what no person can draw.
    """
    state = st.session_state.get(key)
    for value in _VALUES:
        raw = state.get(value) if state is not None else None
        serial = raw.get("serial") if raw is not None and hasattr(raw, "get") else None
        if not isinstance(serial, int) or serial <= _heard(key)[value]:
            continue
        st.session_state[_last(key)] = (value, _heard(key)[value])
        _heard(key)[value] = serial
        return _parse(value, raw, size)
    return None


def put_back(key: str) -> None:
    """Have the event that was taken last come again: what was to be done about it could not be."""
    value, before = st.session_state[_last(key)]
    _heard(key)[value] = before


def _last(key: str) -> str:
    return f"{key}-last"


def _parse(value: str, raw: Any, size: Size) -> MarkingEvent:
    return _PARSERS[value](raw, size)


def _heard(key: str) -> dict[str, int]:
    """The last serial number taken of each value, kept for as long as the session."""
    heard: dict[str, int] = st.session_state.setdefault(f"{key}-heard", dict.fromkeys(_VALUES, 0))
    return heard


def _nothing() -> None:
    """Streamlit returns a value only where something listens for it."""


@cache
def script() -> str:
    """Return the ES module."""
    return "\n".join((_FOLDER / "script" / f"{name}.js").read_text(encoding="utf-8") for name in _SCRIPTS)


@cache
def _renderer() -> ComponentRenderer:
    return st.components.v2.component(
        "givens_marking", css=(_FOLDER / "marking.css").read_text(encoding="utf-8"), js=script()
    )


__all__ = [
    "CardsRefused",
    "Mark",
    "MarkSelected",
    "MarkingEvent",
    "MarksChanged",
    "PhotoChosen",
    "PhotoThumb",
    "Proposal",
    "StripCounted",
    "StrokeDrawn",
    "mark_photo",
    "take_event",
]
