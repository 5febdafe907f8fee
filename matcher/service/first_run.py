"""The first start on an empty folder: the sample kitchen, marked, ready to look around in."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from matcher.service.desk import Desk


def furnish(desk: Desk) -> None:
    """Put the sample kitchen on a desk that has never held a room and has no accounts yet; nothing otherwise."""
    from matcher.service.access import has_users, local_user
    from matcher.service.desk import list_rooms

    if has_users(desk):
        return
    user = local_user(desk)
    if not list_rooms(desk, user) and not desk.store.furnished():
        import_sample(desk)


def import_sample(desk: Desk) -> str:
    """Add the sample kitchen to the local user's rooms and return its id."""
    from matcher.demo.location import demo_room
    from matcher.service.access import local_user
    from matcher.service.archive import import_folder

    with demo_room() as room_file:
        return import_folder(desk, local_user(desk), room_file)
