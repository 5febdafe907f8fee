"""Photos on disk under the SHA-256 of their bytes, and the pictures made from them for showing."""

from __future__ import annotations

import os
import secrets
import shutil
from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path
from typing import BinaryIO

from matcher.store.arriving_file import arriving_file, disk_worded
from matcher.store.photo_home import PLACE, gone
from matcher.store.private_files import make_folder, move_into_place, sync
from matcher.store.workspace import Workspace


class PhotoFolder:
    """``photos/ab/<sha>.<suffix>`` holds originals, never rewritten; ``display/ab/`` what can be made again.

    ``incoming`` holds what is on its way, a folder a process: see :class:`matcher.store.workspace.Workspace`.
    """

    far = False

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

    def reach(self) -> None:
        """A disk answers, or says why not when it is asked for something."""

    def place(self) -> str:
        """Return the text that tells this folder from any other; raises StoreError."""
        path = self._photos / PLACE
        with disk_worded():
            if not path.exists():
                with self.incoming() as (unfinished, stream):
                    stream.write(secrets.token_hex(16).encode())
                    stream.flush()
                    sync(unfinished)
                    try:
                        os.link(unfinished, path)  # of two servers at once one is the first
                    except FileExistsError:
                        pass
                    except OSError:  # a disk without links
                        move_into_place(unfinished, path)
            return path.read_text(encoding="ascii")

    def close(self) -> None:
        """Remove what was on its way."""
        self.workspace.close()

    def incoming(self) -> AbstractContextManager[tuple[Path, BinaryIO]]:
        """Give a temporary file to write to, and its path; it goes away unless :meth:`keep` moved it."""
        return arriving_file(self.workspace)

    def send(self, incoming: Path, sha: str, suffix: str) -> None:
        """Nothing is sent ahead: :meth:`keep` is done at once."""

    def keep(self, incoming: Path, sha: str, suffix: str) -> None:
        """Move a temporary file to its place; the same bytes already there stay as they are."""
        target = self.path(sha, suffix)
        if not target.exists():
            with disk_worded():
                sync(incoming)
                move_into_place(incoming, target)

    def files(self) -> Iterator[tuple[str, Path]]:
        """Yield every file kept here with the SHA-256 of the photo it is of, or is made from."""
        for path in (*self._photos.glob("??/*"), *self._display.glob("??/*")):
            yield path.stem.partition("-")[0], path

    def path(self, sha: str, suffix: str) -> Path:
        """Return where the original lies."""
        return self._photos / sha[:2] / f"{sha}{suffix}"

    @contextmanager
    def brought(self, path: Path) -> Iterator[None]:
        """Nothing has to be brought; raises PhotoError for an original that is gone."""
        if not path.exists():
            raise gone()
        yield

    def copy(self, sha: str, suffix: str, target: Path) -> None:
        """Have the original at a new path too: the same file where the disk knows links. Raises OSError."""
        source = self.path(sha, suffix)
        try:
            os.link(source, target)
        except FileNotFoundError:
            raise
        except OSError:
            shutil.copyfile(source, target)

    def shown(self, sha: str, longest_side: int) -> bytes | None:
        """Return the picture made earlier, or None."""
        try:
            return self._shown_path(sha, longest_side).read_bytes()
        except FileNotFoundError:
            return None

    def show(self, sha: str, longest_side: int, data: bytes) -> None:
        """Keep a picture for showing."""
        with self.incoming() as (path, stream), disk_worded():
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
