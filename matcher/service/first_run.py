"""The first start on an empty folder: the sample kitchen, marked, ready to look around in."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

    from matcher.service.desk import Desk


def furnish(desk: Desk, sample: Path) -> None:
    """Put the ``sample`` room on a desk that nobody has sat at and that has no accounts; nothing otherwise."""
    from matcher.service.access import arriving_user, has_users
    from matcher.service.archive import import_folder

    if has_users(desk):
        return
    user, first = arriving_user(desk)
    if first:
        import_folder(desk, user, sample)
