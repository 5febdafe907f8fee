"""The store: one database and one folder of photos."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from matcher.errors import Problem, RequestError
from matcher.store.database import Database
from matcher.store.photo_folder import PhotoFolder
from matcher.store.private_files import make_folder


@dataclass(frozen=True, slots=True)
class Store:
    """What the app remembers."""

    database: Database
    photos: PhotoFolder

    def close(self) -> None:
        """Give back every connection, and remove what was on its way."""
        self.database.close()
        self.photos.workspace.close()


def open_store(folder: Path, database_url: str) -> Store:
    """Open the store, creating what is not there yet; raises RequestError where it cannot be written."""
    photos = PhotoFolder(folder)
    try:
        make_folder(folder)
        photos.prepare()
    except OSError as error:
        raise RequestError(
            Problem(
                str(folder),
                f"the store cannot be kept here ({error.strerror or error})",
                "Name another folder in givens.toml, or as GIVENS_FOLDER.",
            )
        ) from error
    return Store(Database(database_url), photos)
