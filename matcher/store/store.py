"""The store: one database and one home of photos."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from urllib.request import url2pathname

from matcher.errors import Problem, RequestError
from matcher.store.database import Database
from matcher.store.photo_folder import PhotoFolder
from matcher.store.photo_home import PhotoHome
from matcher.store.private_files import make_folder

_FOLDERS = ("file://", "local://")


@dataclass(frozen=True, slots=True)
class Store:
    """What the app remembers."""

    database: Database
    photos: PhotoHome

    def close(self) -> None:
        """Give back every connection, and remove what was on its way."""
        self.database.close()
        self.photos.close()


def open_store(folder: Path, database_url: str, photo_address: str | None = None) -> Store:
    """Open the store, creating what is not there yet; raises RequestError where it cannot be written.

    ``photo_address`` is a place that several servers share; photos lie in ``folder`` without one.
    """
    photos = _home_of_photos(folder, photo_address)
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


def _home_of_photos(folder: Path, address: str | None) -> PhotoHome:
    if address is None:
        return PhotoFolder(folder)
    if address.startswith(_FOLDERS):
        # A disk that servers share: as crash-safe as our own, which a library's way of writing files is not.
        path = url2pathname(address.partition("://")[2])
        if not Path(path).is_absolute():
            raise RequestError(
                Problem("photo_address", "names no folder from the root on", "Write it as file:///folder.")
            )
        return PhotoFolder(Path(path))
    # Not a library that most stores never need.
    from matcher.store.far_photos import FarPhotos

    return FarPhotos(address, folder)
