"""Photos on disk under the SHA-256 of their bytes, and the pictures made from them for showing."""

from __future__ import annotations

import secrets
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from matcher.errors import Problem, RequestError
from matcher.store.private_files import make_folder, move_into_place, write_atomically, write_new

# Assumption: no upload is checked for as long as this, so what is older was left by a crash.
_ABANDONED_S = 24 * 3600


class PhotoFolder:
    """``photos/ab/<sha>.<suffix>`` holds originals, never rewritten; ``display/ab/`` what can be made again."""

    def __init__(self, folder: Path) -> None:
        self._photos = folder / "photos"
        self._display = folder / "display"
        self._incoming = folder / "incoming"

    def prepare(self) -> None:
        """Create the folders and clear what a crash left behind; raises OSError."""
        for folder in (self._photos, self._display, self._incoming):
            make_folder(folder)
        # A folder may look writable and not be (a full or read-only disk): only writing tells.
        probe = self._incoming / secrets.token_hex(8)
        write_new(probe, b"probe")
        probe.unlink()
        for path in self._incoming.iterdir():
            # Others may be sending at this moment, and their files come and go.
            with suppress(FileNotFoundError):
                if time.time() - path.stat().st_mtime > _ABANDONED_S:
                    path.unlink()

    @contextmanager
    def incoming(self, data: bytes) -> Iterator[Path]:
        """Give the path of a temporary file with ``data``; it goes away unless :meth:`keep` moved it."""
        path = self._incoming / secrets.token_hex(16)
        try:
            with _worded():
                write_new(path, data)
            yield path
        finally:
            path.unlink(missing_ok=True)

    def keep(self, incoming: Path, sha: str, suffix: str) -> None:
        """Move a temporary file to its place; the same bytes already there stay as they are."""
        target = self.path(sha, suffix)
        if not target.exists():
            with _worded():
                move_into_place(incoming, target)

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
        with _worded():
            write_atomically(self._shown_path(sha, longest_side), data)

    def forget(self, sha: str, suffix: str) -> None:
        """Remove a photo and everything made from it."""
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
        raise RequestError(Problem("store", f"the photo cannot be kept ({reason})", "Is the disk full?")) from error
