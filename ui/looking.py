"""What a consultant is looking at in a room, for as long as the session lasts: choices stay while one looks around."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import streamlit as st

if TYPE_CHECKING:
    from matcher.service.on_the_wall import WallRole
    from matcher.service.records import StoredRoom
    from ui.before_after import View

MOST_COMPARED = 4  # paints side by side: assumption, as many as a pane has room for


@dataclass(slots=True)
class Looking:
    """By role: the ``closer`` paint looked at, those ``compared``, the one ``tried`` on the wall, whether it is
    ``shown`` there. ``pane`` is "look" or "compare", ``view`` of the wall "before", "half" or "after"; ``guessed`` are
    roles of which a guess was asked for; ``lrv`` and ``families`` narrow the deck.
    """

    role: str = ""
    pane: str = "look"
    view: View = "half"
    lrv: tuple[int, int] = (0, 100)
    families: list[str] = field(default_factory=list)
    closer: dict[str, str] = field(default_factory=dict)
    compared: dict[str, list[str]] = field(default_factory=dict)
    tried: dict[str, str] = field(default_factory=dict)
    shown: dict[str, bool] = field(default_factory=dict)
    guessed: set[str] = field(default_factory=set)

    def look(self, role: str, code: str) -> None:
        """Look at a paint more closely."""
        self.closer[role] = code
        self.pane = "look"

    def leave(self, role: str) -> None:
        """Look at no paint of a role any more; those compared stay ticked."""
        self.closer.pop(role, None)
        self.pane = "look"

    def opened(self, role: str) -> str | None:
        """Return the code of the paint that was pressed last, where a narrow screen opens the pane; None before."""
        compared = self.compared.get(role, [])
        return compared[-1] if self.pane == "compare" and compared else self.closer.get(role)

    def compare(self, role: str, code: str) -> None:
        """Take a paint among those compared, or out of them."""
        chosen = self.compared.setdefault(role, [])
        if code in chosen:
            chosen.remove(code)
        elif len(chosen) < MOST_COMPARED:
            chosen.append(code)
        self.pane = "compare" if chosen else "look"

    def trying(self, role: WallRole) -> str:
        """Return the code of the paint tried in a role: the one pressed last, else the one it starts with."""
        tried = self.tried.get(role.role, "")
        return tried if tried in role.paints else role.chosen

    def is_shown(self, role: WallRole) -> bool:
        """Tell whether a role is painted in the picture: at first what the brief asks for is."""
        ready = role.state == "ready" or (role.state == "unmeasured" and role.role in self.guessed)
        return ready and bool(role.paints) and self.shown.get(role.role, role.in_brief)

    def try_paint(self, role: str, code: str) -> None:
        """Try a paint in a role, which is then shown."""
        self.tried[role] = code
        self.shown[role] = True

    def switch(self, role: WallRole) -> None:
        """Show a role painted, or no longer."""
        self.shown[role.role] = not self.is_shown(role)

    def guess(self, role: str) -> None:
        """Ask for a guess of a role whose old paint nothing measured, or no longer."""
        self.guessed ^= {role}
        self.shown[role] = True


def looking_at(room: StoredRoom) -> Looking:
    """Return what this session looks at in a room."""
    key = f"looking-{room.id}"
    if key not in st.session_state:
        st.session_state[key] = Looking()
    found: Looking = st.session_state[key]
    return found
