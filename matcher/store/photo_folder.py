"""Photos on disk under the SHA-256 of their bytes, and the pictures made from them for showing."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from matcher.errors import Problem, StoreError
from matcher.store.private_files import make_folder, move_into_place, new_file, sync
from matcher.store.workspace import Workspace


class PhotoFolder:
    """``photos/ab/<sha>.<suffix>`` holds originals, never rewritten; ``display/ab/`` what can be made again.

    ``incoming`` holds what is on its way, a folder a process: see :class:`matcher.store.workspace.Workspace`.
    """

    def __init__(self, folder: Path) -> None:
        self._photos = folder / "photos"
        self._display = folder / "display"
        self._incoming = folder / "incoming"
        self.workspace = Workspace(self._incoming)

    def prepare(self) -> None:
        """Create the folders and clear what a crash left behind; raises OSError where they cannot be made."""
        for folder in (self._photos, self._display, self._incoming):
            make_folder(folder)
        self.workspace.clear_abandoned()

    @contextmanager
    def incoming(self) -> Iterator[tuple[Path, BinaryIO]]:
        """Give a temporary file to write to, and its path; it goes away unless :meth:`keep` moved it."""
        with _worded():
            path = self.workspace.new_path()
        try:
            with _worded():
                stream = new_file(path)
            with stream:
                yield path, stream
        finally:
            path.unlink(missing_ok=True)

    def keep(self, incoming: Path, sha: str, suffix: str) -> None:
        """Move a temporary file to its place; the same bytes already there stay as they are."""
        target = self.path(sha, suffix)
        if not target.exists():
            with _worded():
                sync(incoming)
                move_into_place(incoming, target)

    def files(self) -> Iterator[tuple[str, Path]]:
        """Yield every file kept here with the SHA-256 of the photo it is of, or is made from."""
        for path in (*self._photos.glob("??/*"), *self._display.glob("??/*")):
            yield path.stem.partition("-")[0], path

    def path(self, sha: str, suffix: str) -> Path:
        """Return where the original lies."""
        return self._photos / sha[:2] / f"{sha}{suffix}"

    def shown(self, sha: str, longest_side: int) -> bytes | None:
        """Return the picture made earlier, or None."""
        try:
            return self._shown_path(sha, longest_side).read_bytes()
        except FileNotFoundError:
            return None

    def show(self, sha: str, longest_side: int, data: bytes) -> None:
        """Keep a picture for showing."""
        with self.incoming() as (path, stream), _worded():
            stream.write(data)
            stream.flush()
            sync(path)
            move_into_place(path, self._shown_path(sha, longest_side))

    def forget(self, sha: str, suffix: str) -> None:
        """Remove a photo and everything made from it; raises OSError."""
        self.path(sha, suffix).unlink(missing_ok=True)
        for path in (self._display / sha[:2]).glob(f"{sha}-*"):
            path.unlink(missing_ok=True)

    def _shown_path(self, sha: str, longest_side: int) -> Path:
        return self._display / sha[:2] / f"{sha}-{longest_side}.jpg"


@contextmanager
def _worded() -> Iterator[None]:
    try:
        yield
    except OSError as error:
        reason = error.strerror or str(error)
        raise StoreError(Problem("store", f"the photo cannot be kept ({reason})", "Is the disk full?")) from error
