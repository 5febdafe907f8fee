"""Choosing files is sending them: straight to an address of ours (``ui/arrivals.py``), or, small ones, to the page."""

from __future__ import annotations

import base64
import binascii
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

import streamlit as st

from ui import words

if TYPE_CHECKING:
    from streamlit.components.v2.types import ComponentRenderer

_FOLDER = Path(__file__).parent
# What a phone offers first; whether a file is a photo, its content says.
PHOTO_TYPES = "image/*,.heic,.heif,.dng,.nef,.cr2,.cr3,.arw,.raf,.orf,.rw2"
_MEGABYTE = 1_000_000


@dataclass(frozen=True, slots=True)
class Sent:
    """What became of the files that were chosen: ``kept`` by their id, ``problems`` in words."""

    kept: tuple[str, ...] = ()
    problems: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Handed:
    """A small file, handed to the page."""

    name: str
    data: bytes


def send_files(
    label: str, address: str, *, key: str, most_mb: int, several: bool = True, accept: str = "", camera: str = ""
) -> Sent:
    """Show the chooser; each file chosen goes to ``address``, and the page runs again when all have arrived.

    With a label for ``camera`` a device with a touch screen is offered its camera first. Where the connection is lost
    on the way, what has not arrived is kept in the browser and goes on when it is back.
    """
    answer = _show(key, label, address=address, most_mb=most_mb, several=several, accept=accept, camera=camera)
    if not isinstance(answer, dict):
        return Sent()
    return Sent(_texts(answer.get("kept")), _texts(answer.get("problems")))


def hand_file(label: str, *, key: str, most_mb: int) -> Handed | None:
    """Show the chooser for one small file, and return the file on the run after it was chosen."""
    answer = _show(key, label, address=None, most_mb=most_mb, several=False, accept="", camera="")
    if not isinstance(answer, dict):
        return None
    name, text = answer.get("name"), answer.get("data")
    if not isinstance(name, str) or not isinstance(text, str) or len(text) > 2 * most_mb * _MEGABYTE:
        return None
    try:
        return Handed(name, base64.b64decode(text, validate=True))
    except binascii.Error:
        return None


def _show(key: str, label: str, **given: object) -> Any:
    data = {**given, "label": label, "words": words.CHOOSING}
    shown = _renderer()(key=key, data=data, on_told_change=_nothing)
    # A plain dictionary of what the browser said, not Streamlit's own mapping.
    answer = getattr(shown, "told", None)
    return dict(answer) if answer is not None else None


def _texts(said: object) -> tuple[str, ...]:
    return tuple(str(text) for text in said) if isinstance(said, list) else ()


def _nothing() -> None:
    """Streamlit returns a value only where something listens for it."""


@cache
def _renderer() -> ComponentRenderer:
    html, css, js = ((_FOLDER / f"choosing.{kind}").read_text(encoding="utf-8") for kind in ("html", "css", "js"))
    return st.components.v2.component("givens_choosing", html=html, css=css, js=js)
