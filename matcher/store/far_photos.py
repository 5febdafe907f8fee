"""Photos in a place that several servers share, such as a bucket: read through copies near by that match their hash."""

from __future__ import annotations

import secrets
from collections.abc import Iterator
from contextlib import AbstractContextManager, ExitStack
from pathlib import Path
from typing import BinaryIO

from matcher.store.arriving_file import arriving_file, disk_worded
from matcher.store.far_place import FarPlace, checked_hash
from matcher.store.near_copies import NearCopies
from matcher.store.photo_home import PLACE, gone
from matcher.store.private_files import make_folder, new_file
from matcher.store.workspace import Workspace


class FarPhotos:
    """``photos/ab/<sha>.<suffix>`` holds originals, as a folder does; ``display/<sha>/<side>.jpg`` pictures of them.

    Pictures lie there too: made once for all servers, and forgotten once. On this machine there are files on their way
    and copies being read, in ``incoming`` of ``folder``.
    """

    far = True

    def __init__(self, address: str, folder: Path) -> None:
        self._place = FarPlace(address)
        self._incoming = folder / "incoming"
        self.workspace = Workspace(self._incoming)
        self._near = NearCopies(self.workspace, self._bring)

    def prepare(self) -> None:
        """Try the place, and clear what a crash left here; raises OSError, RequestError."""
        make_folder(self._incoming)
        self.workspace.clear_abandoned()
        self._place.prepare()

    def reach(self) -> None:
        """Raise StoreError where the place does not answer."""
        self._place.reach()

    def place(self) -> str:
        """Return the text that tells this place from any other; raises StoreError."""
        with self.incoming() as (path, stream):
            try:
                self._place.get(PLACE, path)
            except FileNotFoundError:
                stream.write(secrets.token_hex(16).encode())
                stream.flush()
                self._place.put(path, PLACE)
        with self.incoming() as (path, _):
            try:
                self._place.get(PLACE, path)
            except FileNotFoundError:
                return ""
            return path.read_text(encoding="ascii", errors="replace")

    def close(self) -> None:
        """Remove what was on its way, and copies."""
        self._near.close()
        self.workspace.close()

    def incoming(self) -> AbstractContextManager[tuple[Path, BinaryIO]]:
        """Give a temporary file to write to, and its path; it goes away."""
        return arriving_file(self.workspace)

    def send(self, incoming: Path, sha: str, suffix: str) -> None:
        """Bring the bytes of a temporary file to their place, unless they lie there already."""
        name = _original(sha, suffix)
        if self._place.size(name) != incoming.stat().st_size:
            self._place.put(incoming, name)

    def keep(self, incoming: Path, sha: str, suffix: str) -> None:
        """Make sure that what was sent is still there: another server may have forgotten the same photo meanwhile."""
        self.send(incoming, sha, suffix)
        self._near.take(incoming, f"{sha}{suffix}")

    def path(self, sha: str, suffix: str) -> Path:
        """Return where the copy of an original lies whenever it is :meth:`brought`."""
        with disk_worded():
            return self._near.path(f"{sha}{suffix}")

    def brought(self, path: Path) -> AbstractContextManager[None]:
        """Have an original lie at its ``path`` for as long as it is read; raises PhotoError, StoreError."""
        return self._near.read(path.name)

    def copy(self, sha: str, suffix: str, target: Path) -> None:
        """Fetch the original into a new file; raises FileNotFoundError, PhotoError, OSError."""
        with ExitStack() as if_refused:
            new_file(target).close()
            if_refused.callback(target.unlink, missing_ok=True)
            self._place.get(_original(sha, suffix), target)
            checked_hash(target, sha)
            if_refused.pop_all()

    def shown(self, sha: str, longest_side: int) -> bytes | None:
        """Return the picture made earlier, or None."""
        with self.incoming() as (path, _):
            try:
                self._place.get(_picture(sha, longest_side), path)
            except FileNotFoundError:
                return None
            return path.read_bytes()

    def show(self, sha: str, longest_side: int, data: bytes) -> None:
        """Keep a picture for showing."""
        with self.incoming() as (path, stream):
            with disk_worded():
                stream.write(data)
                stream.flush()
            self._place.put(path, _picture(sha, longest_side))

    def forget(self, sha: str, suffix: str) -> None:
        """Remove a photo and everything made from it."""
        self._near.drop(f"{sha}{suffix}")
        self._place.remove(_original(sha, suffix))
        self._place.remove_folder(f"display/{sha}")

    def files(self) -> Iterator[tuple[str, Path]]:
        """Nothing lies there unnoted: what is sent is noted before (:mod:`matcher.store.on_the_way`).

        So a place with thousands of photos is never listed, and what another store keeps there is never taken for ours.
        """
        return iter(())

    def _bring(self, name: str, path: Path) -> None:
        sha, dot, suffix = name.partition(".")
        try:
            self.copy(sha, dot + suffix, path)
        except FileNotFoundError:
            raise gone() from None


def _original(sha: str, suffix: str) -> str:
    return f"photos/{sha[:2]}/{sha}{suffix}"


def _picture(sha: str, longest_side: int) -> str:
    return f"display/{sha}/{longest_side}.jpg"
