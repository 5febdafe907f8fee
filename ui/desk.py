"""The one desk of this process: settings read once, store opened once, shared by pages and routes."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from matcher.service.desk import Desk


@cache
def the_desk() -> Desk:
    """Return the desk; a folder without rooms gets the sample kitchen when it is first asked for."""
    from matcher.demo.location import demo_room
    from matcher.service import desk
    from matcher.service.first_run import furnish

    opened = desk.the_desk()
    with demo_room() as sample:
        furnish(opened, sample)
    return opened


@cache
def sample_photos() -> frozenset[str]:
    """Return the SHA-256 of the sample kitchen's photos."""
    from matcher.demo.location import demo_room
    from matcher.service.first_run import photos_of_sample

    with demo_room() as sample:
        return photos_of_sample(sample)
