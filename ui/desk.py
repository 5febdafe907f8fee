"""The one desk of this process: settings read once, store opened once, shared by pages and routes."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from matcher.service.desk import Desk


@cache
def the_desk() -> Desk:
    """Return the desk, made on first use; a folder without rooms gets the sample kitchen."""
    from matcher.demo.location import demo_room
    from matcher.service.desk import open_desk
    from matcher.service.first_run import furnish
    from matcher.settings import load_settings

    desk = open_desk(load_settings())
    with demo_room() as sample:
        furnish(desk, sample)
    return desk
