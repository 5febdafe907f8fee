"""Where photos are kept: the one interface of the store's own folder and of a place far away."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import AbstractContextManager
from pathlib import Path
from typing import BinaryIO, Protocol

from matcher.errors import PhotoError, Problem
from matcher.store.workspace import Workspace

PLACE = "place.txt"


class PhotoHome(Protocol):
    """Originals under the SHA-256 of their bytes, never rewritten, and pictures made from them for showing.

    Whatever a home does may raise :class:`matcher.errors.StoreError`. A photo's file is called ``<sha><suffix>``.
    """

    workspace: Workspace
    far: bool
    """Whether bringing a photo there takes long enough to be done before others are kept waiting for its row."""

    def prepare(self) -> None:
        """Make ready what is not there yet and clear what a crash left; raises OSError, or RequestError where the home
        cannot be used.
        """

    def reach(self) -> None:
        """Raise StoreError where the home does not answer."""

    def place(self) -> str:
        """Return what stands for the place whatever it is called here: a text that lies in it, written when there is
        none. Raises OSError, StoreError.
        """

    def close(self) -> None:
        """Remove what was on its way, and copies."""

    def incoming(self) -> AbstractContextManager[tuple[Path, BinaryIO]]:
        """Give a temporary file to write to, and its path; it goes away unless it was kept."""

    def send(self, incoming: Path, sha: str, suffix: str) -> None:
        """Bring the bytes of a temporary file to where they will be kept: it may take long."""

    def keep(self, incoming: Path, sha: str, suffix: str) -> None:
        """Have the bytes of a temporary file in their place; the same bytes already there stay as they are."""

    def path(self, sha: str, suffix: str) -> Path:
        """Return where the original lies whenever it is :meth:`brought`."""

    def brought(self, path: Path) -> AbstractContextManager[None]:
        """Have an original lie at its ``path`` for as long as it is read.

        Raises PhotoError for one that is gone or is not what was sent.
        """

    def copy(self, sha: str, suffix: str, target: Path) -> None:
        """Have the original at a new path too, which keeps its bytes; raises FileNotFoundError, PhotoError, OSError."""

    def shown(self, sha: str, longest_side: int) -> bytes | None:
        """Return the picture made earlier, or None."""

    def show(self, sha: str, longest_side: int, data: bytes) -> None:
        """Keep a picture for showing."""

    def forget(self, sha: str, suffix: str) -> None:
        """Remove a photo and everything made from it; raises OSError."""

    def files(self) -> Iterator[tuple[str, Path]]:
        """Yield every file that a crash may have left unnoted, with the SHA-256 of the photo it is of."""


def gone() -> PhotoError:
    """Return the error for a photo that a room has and its home has not."""
    return PhotoError(
        Problem(
            "photo",
            "is gone from where photos are kept",
            "Bring it back from a backup, or remove it from the room and send it again.",
        )
    )
