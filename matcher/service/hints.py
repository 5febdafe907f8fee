"""Hints on the screen that a consultant has put away: they stay away, on every machine, until they are asked for."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from matcher.service.desk import Desk
    from matcher.store.stored import User

Hint = Literal["how it goes"]


def is_shown(desk: Desk, user: User, hint: Hint) -> bool:
    """Tell whether the consultant still wants to see the hint."""
    from matcher.store import hints

    return not hints.is_away(desk.store, user.id, hint)


def put_away(desk: Desk, user: User, hint: Hint) -> None:
    """Show the hint no more."""
    from matcher.store import hints

    hints.put_away(desk.store, user.id, hint)


def take_out(desk: Desk, user: User, hint: Hint) -> None:
    """Show the hint again."""
    from matcher.store import hints

    hints.take_out(desk.store, user.id, hint)
