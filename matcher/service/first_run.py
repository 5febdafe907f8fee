"""The first start on an empty folder: the sample kitchen, marked, ready to look around in."""

from __future__ import annotations

import hashlib
import tomllib
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


def photos_of_sample(sample: Path) -> frozenset[str]:
    """Return the SHA-256 of the photos that the ``sample`` room file names: how a room is known to be the sample."""
    named = tomllib.loads(sample.read_text(encoding="utf-8"))["photos"]
    return frozenset(hashlib.sha256((sample.parent / photo["file"]).read_bytes()).hexdigest() for photo in named)
