"""Fields that save themselves when they are left: each alone, and told beside the title; nothing typed is lost."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime
from html import escape
from typing import TYPE_CHECKING, Any

import streamlit as st

from matcher.errors import AwayError, GivensError
from matcher.service.brief_fields import is_said, save_field
from ui import words
from ui.messages import problems_of, show_problems
from ui.state import is_connected_again

if TYPE_CHECKING:
    from matcher.service.brief_fields import Field
    from matcher.service.records import StoredRoom
    from ui.state import Visit


@dataclass(slots=True)
class _Held:
    """What this session knows of the fields: the ``revision`` they show and how often others changed it meanwhile; by
    what they are called, why those with ``problems`` were not saved, and what is ``waiting`` for a database to answer.
    """

    revision: int
    turn: int = 0
    saved: datetime | None = None
    problems: dict[str, list[str]] = field(default_factory=dict)
    waiting: dict[str, tuple[Field, Any, tuple[str, ...]]] = field(default_factory=dict)


class Keeping:
    """The fields of one room's brief on one page."""

    def __init__(self, visit: Visit, room: StoredRoom) -> None:
        self._visit, self._room_id = visit, room.id
        self._room = room
        self._is_new = f"brief-{room.id}" not in st.session_state
        self._handed: list[tuple[Field, str, tuple[str, ...]]] = []
        self._held: _Held = st.session_state.setdefault(f"brief-{room.id}", _Held(room.revision))
        if self._held.waiting:
            for name, value, part in tuple(self._held.waiting.values()):
                self._keep(name, value, part)
            if not self._held.waiting:
                # The room was read before they were saved.
                st.rerun()
        elif room.revision != self._held.revision:
            self._held.revision = room.revision
            self._show_anew()

    def field(self, name: Field, *part: str) -> dict[str, Any]:
        """Return what makes a widget save the field, or the ``part`` of it, when it is changed."""
        key = f"brief-{self._room_id}-{_called(name, part)}-{self._held.turn}"
        self._handed.append((name, key, part))
        return {"key": key, "on_change": self._save, "args": (name, key), "kwargs": {"part": part}}

    def clearable(self, name: Field, present: float | date | None) -> dict[str, Any]:
        """Return what makes the widget of a number or day save the field, with the ``present`` one shown in it.

        Emptied, it is unsaid: a widget that is given its value as a default would go back to it.
        """
        kept = self.field(name)
        st.session_state.setdefault(kept["key"], present)
        return {**kept, "value": None}

    def switch(self, name: Field, values: dict[bool, Any]) -> dict[str, Any]:
        """Return what makes a checkbox save one of two values."""
        key = f"brief-{self._room_id}-{name}-switch-{self._held.turn}"
        return {"key": key, "on_change": self._save, "args": (name, key, values)}

    def tell(self) -> None:
        """Say whether everything is saved."""
        if self._held.problems:
            said = f"<strong>{words.NOT_SAVED}</strong>"
        elif self._held.saved:
            said = escape(words.SAVED_AT.format(at=self._held.saved))
        else:
            said = words.SAVES_ITSELF
        st.html(f'<span class="g-saved" role="status">{said}</span>', width="content")

    def catch_up(self) -> None:
        """Save what the fields show and the server before this one was not in time to save; the last thing a page does.

        Of a change that was on its way when a server died this one hears only that it is what the field shows.
        """
        if not (self._is_new and is_connected_again()):
            return
        shown = [(name, st.session_state[key], part) for name, key, part in self._handed]
        unsaid = [one for one in shown if not is_said(self._room.document, one[0], one[1], part=one[2])]
        for name, value, part in unsaid:
            self._keep(name, value, part)
        if unsaid:
            st.rerun()

    def problems(self, name: Field, *part: str) -> None:
        """Show under a field, or under the ``part`` of it, why it could not be saved."""
        show_problems(self._held.problems.get(_called(name, part), ()))

    def _save(self, name: Field, key: str, values: dict[bool, Any] | None = None, part: tuple[str, ...] = ()) -> None:
        self._keep(name, st.session_state[key] if values is None else values[st.session_state[key]], part)

    def _keep(self, name: Field, value: Any, part: tuple[str, ...]) -> None:
        called = _called(name, part)
        self._held.waiting.pop(called, None)
        try:
            saved = save_field(self._visit.desk, self._visit.user, self._room_id, name, value, part=part)
        except AwayError as error:
            self._held.waiting[called] = (name, value, part)
            self._held.problems[called] = problems_of(error)
        except GivensError as error:
            self._held.problems[called] = problems_of(error)
        else:
            self._held.problems.pop(called, None)
            self._held.saved = datetime.now()
            if saved.over != self._held.revision:
                self._show_anew()
            self._held.revision = saved.revision

    def _show_anew(self) -> None:
        """Somebody else saved: fields of other keys show what is stored now."""
        self._held.turn += 1
        self._held.problems.clear()


def _called(name: Field, part: tuple[str, ...]) -> str:
    return "-".join((name, *part))
