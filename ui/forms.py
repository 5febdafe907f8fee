"""The questions that the brief asks of a consultant and of a householder alike."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

import streamlit as st

from matcher.service import choices
from matcher.service.brief_fields import Field
from ui import words

# What a field that saves itself is given, by its key of the room file: ui/keeping.py. A form that is sent gives none.
Keep = Callable[[Field], dict[str, Any]]


def _sent_with_the_form(field: Field) -> dict[str, Any]:
    return {}


def ask_room(known: Mapping[str, Any], *, keep: Keep = _sent_with_the_form) -> dict[str, Any]:
    """Ask the kind of room, where its window faces, its lamps; return what is known of it, by the room file's keys."""
    answers = {
        "kind": _choose(words.ROOM_KIND, dict.fromkeys(choices.KINDS), known.get("kind"), keep("kind")),
        "facing": _choose(words.FACING, choices.FACINGS, known.get("facing"), keep("facing")),
        "lamps_k": _choose(words.LAMPS, choices.LAMPS, known.get("lamps_k"), keep("lamps_k")),
    }
    return {key: value for key, value in answers.items() if value is not None}


def ask_warmth(present: str | None, *, keep: Keep = _sent_with_the_form) -> str:
    """Ask whether warm or cool is wished for."""
    return st.radio(
        words.WARMTH,
        choices.WARMTHS,
        choices.WARMTHS.index(present or "either"),
        format_func=words.WARMTH_WORDS.__getitem__,
        horizontal=True,
        **keep("warmth"),
    )


def ask_roles(present: Sequence[str], *, keep: Keep = _sent_with_the_form) -> list[str]:
    """Ask what may be painted."""
    return st.multiselect(
        words.ROLES_TO_PAINT, list(choices.ROLES), list(present), format_func=choices.ROLES.__getitem__, **keep("roles")
    )


def _choose(label: str, offered: Mapping[Any, str | None], present: Any, kept: dict[str, Any]) -> Any:
    """Ask for one of ``offered``, with the word for each; None where it is not known."""
    listed = [None, *offered]
    return st.selectbox(
        label,
        listed,
        listed.index(present) if present in offered else 0,
        format_func=lambda one: words.NOT_KNOWN if one is None else offered[one] or one,
        **kept,
    )
