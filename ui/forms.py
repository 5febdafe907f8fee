"""The questions that the brief asks of a consultant and of a householder alike."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import streamlit as st

from matcher.service import choices
from ui import words


def ask_room(known: Mapping[str, Any]) -> dict[str, Any]:
    """Ask the kind of room, where its window faces, its lamps; return what is known of it, by the room file's keys."""
    answers = {
        "kind": _choose(words.ROOM_KIND, dict.fromkeys(choices.KINDS), known.get("kind"), ""),
        "facing": _choose(words.FACING, choices.FACINGS, known.get("facing"), words.FACING_UNKNOWN),
        "lamps_k": _choose(words.LAMPS, choices.LAMPS, known.get("lamps_k"), words.LAMPS_UNKNOWN),
    }
    return {key: value for key, value in answers.items() if value is not None}


def ask_warmth(present: str | None) -> str:
    """Ask whether warm or cool is wished for."""
    return st.radio(
        words.WARMTH,
        choices.WARMTHS,
        choices.WARMTHS.index(present or "either"),
        format_func=words.WARMTH_WORDS.__getitem__,
        horizontal=True,
    )


def ask_roles(present: Sequence[str]) -> list[str]:
    """Ask what may be painted."""
    return st.multiselect(
        words.ROLES_TO_PAINT, list(choices.ROLES), list(present), format_func=choices.ROLES.__getitem__
    )


def _choose(label: str, offered: Mapping[Any, str | None], present: Any, unknown: str) -> Any:
    """Ask for one of ``offered``, with the word for each; None where it is not known."""
    listed = [None, *offered]
    return st.selectbox(
        label,
        listed,
        listed.index(present) if present in offered else 0,
        format_func=lambda one: unknown if one is None else offered[one] or one,
    )
