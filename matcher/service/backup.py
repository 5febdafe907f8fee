"""Everything the browser app keeps, as one file; and back."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from matcher.errors import Problem, RequestError

if TYPE_CHECKING:
    from pathlib import Path

    from matcher.settings import Settings

Json = dict[str, Any]


def backup(settings: Settings, target: Path) -> Json:
    """Write the store into ``target``, which must not be there; the app may run meanwhile.

    Returns ``file``, ``folder``, ``rooms``, ``photos`` and ``size`` (bytes). Raises RequestError.
    """
    from matcher.service.desk import open_desk
    from matcher.store.backup import write_backup

    # Opening a store makes one where there is none, and a backup of nothing is no help to anybody.
    if settings.database_url is None and not settings.folder.is_dir():
        raise RequestError(
            Problem(
                str(settings.folder),
                "there is no store here",
                "Run this where the app is started, or name its folder as GIVENS_FOLDER.",
            )
        )
    desk = open_desk(settings)
    try:
        return _told(target, settings, asdict(write_backup(desk.store, target)))
    finally:
        desk.store.close()


def restore(settings: Settings, source: Path) -> Json:
    """Make the settings' folder, which must be empty, the store that ``source`` is a backup of.

    Returns what :func:`backup` does. Raises RequestError.
    """
    from matcher.store.backup import restore_backup

    if settings.database_url is not None:
        raise RequestError(
            Problem(
                "database_url",
                "is set, and a backup is restored into a folder with its own database",
                "Leave it out, or restore a PostgreSQL server by its own means; DEVELOPERS.md says how.",
            )
        )
    if settings.photo_address is not None:
        raise RequestError(
            Problem(
                "photo_address",
                "is set, and a backup is restored into a folder with its own photos",
                "Leave it out, restore, copy the folder's photos to the address, then set it again.",
            )
        )
    return _told(source, settings, asdict(restore_backup(source, settings.folder)))


def _told(file: Path, settings: Settings, counts: Json) -> Json:
    return {"file": str(file), "folder": str(settings.folder.resolve()), **counts}
