"""A place that fsspec reaches, such as a bucket: files sent, fetched and removed by name, its errors put in words.

Where it is and how to get in, libraries read themselves (environment, configuration of fsspec or the service): no key
is ours to know, and no text of theirs gets into a message.
"""

from __future__ import annotations

import errno
import glob
import hashlib
import re
import secrets
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

from matcher.errors import GivensError, PhotoError, Problem, RequestError, StoreError

SETTING = "photo_address"
_WRITTEN = "Write it as s3://bucket/folder."
_ADDRESS = re.compile(r"([a-z][a-z0-9+.-]*)://([^\s?#]+)")
_PASSWORD = re.compile(r"[^/@]*:[^/@]*@")
_S3 = ("s3", "s3a")
# Kinds whose files are there whole or not at all, without folders to be made: a write never shows half of a file.
_WHOLE = frozenset({"s3", "s3a", "gs", "gcs", "az", "abfs", "abfss", "oci", "oss"})
# Seconds; assumption: a service that is there answers well within this, and somebody waits for it. Left alone, its
# library waits four minutes for one that says nothing. Whoever sets config_kwargs of their own rules.
_PATIENCE: Mapping[str, Any] = {
    "config_kwargs": {"connect_timeout": 4, "read_timeout": 8, "retries": {"total_max_attempts": 2}}
}
_TRIES = 2  # of each of those, for what was cut off on its way
# Kinds that are views of other files, or nothing that can be written to.
_NO_PLACES = frozenset(
    {"blockcache", "cached", "data", "dir", "filecache", "generic", "reference", "simplecache", "tar", "zip"}
)
# What libraries raise beside OSError and ValueError, by the module it is defined in.
_THEIRS = (
    ("botocore.exceptions", "BotoCoreError"),
    ("botocore.exceptions", "ClientError"),
    ("aiohttp", "ClientError"),
    ("google.auth.exceptions", "GoogleAuthError"),
    ("gcsfs.retry", "HttpError"),
    ("azure.core.exceptions", "AzureError"),
    ("paramiko.ssh_exception", "SSHException"),
)
_PROBE, _PROBE_TEXT = "givens.txt", b"Photos and pictures of one store of Givens.\n"
_FULL = (errno.ENOSPC, errno.EDQUOT)


class FarPlace:
    """Files by their name in the place, such as ``photos/ab/<sha>.jpg``; safe to share between threads.

    Raises :class:`matcher.errors.RequestError` for an address that cannot be used, StoreError for a place that fails.
    """

    def __init__(self, address: str) -> None:
        import fsspec

        self._kind = checked_kind(address)
        told = any("config_kwargs" in fsspec.config.conf.get(kind, {}) for kind in _S3)
        with self._worded():
            self._files, root = fsspec.core.url_to_fs(address, **(_PATIENCE if self._kind in _S3 and not told else {}))
        # Lists that are remembered would hide what other servers do.
        self._files.dircache.use_listings_cache = False
        if self._kind in _S3:
            self._files.retries = _TRIES
        self._root = root.rstrip("/")

    def prepare(self) -> None:
        """Write a file and read it again: what is wrong with the place is said before anybody's photo is lost on it."""
        name = f"{self._root}/{_PROBE}"
        with self._worded(missing="is not there: no such bucket or folder"):
            self._make_parent(name)
            self._files.pipe_file(name, _PROBE_TEXT)
            found = self._files.cat_file(name)
        if found != _PROBE_TEXT:
            raise self._failed("does not give back what was written there")

    def reach(self) -> None:
        """Raise StoreError where the place does not answer."""
        self.size(_PROBE)

    def put(self, path: Path, name: str) -> None:
        """Send a file: afterwards it is there whole, or not at all."""
        target = f"{self._root}/{name}"
        with self._worded(missing="is not there: no such bucket or folder"):
            if self._kind in _WHOLE:
                self._files.put_file(str(path), target)
                return
            self._make_parent(target)
            part = f"{target}.{secrets.token_hex(8)}"
            try:
                self._files.put_file(str(path), part)
                self._files.mv(part, target)
            finally:
                with suppress(FileNotFoundError):
                    self._files.rm_file(part)

    def get(self, name: str, path: Path) -> None:
        """Fetch a file into ``path``, which is there and empty; raises FileNotFoundError."""
        with self._worded(pass_missing=True):
            self._files.get_file(f"{self._root}/{name}", str(path))

    def size(self, name: str) -> int | None:
        """Return how many bytes a file has, None where there is none."""
        try:
            with self._worded(pass_missing=True):
                return int(self._files.info(f"{self._root}/{name}")["size"])
        except FileNotFoundError:
            return None

    def remove(self, name: str) -> None:
        """Remove a file, and parts of it that never became one."""
        target = f"{self._root}/{name}"
        with self._worded(pass_missing=True), suppress(FileNotFoundError):
            for one in [target] if self._kind in _WHOLE else self._files.glob(f"{glob.escape(target)}*"):
                self._files.rm_file(one)

    def remove_folder(self, name: str) -> None:
        """Remove every file whose name begins with ``name`` and a slash."""
        with self._worded(pass_missing=True), suppress(FileNotFoundError):
            self._files.rm(f"{self._root}/{name}", recursive=True)

    def _make_parent(self, name: str) -> None:
        if self._kind not in _WHOLE:
            self._files.makedirs(name.rpartition("/")[0], exist_ok=True)

    @contextmanager
    def _worded(self, missing: str = "is not there", *, pass_missing: bool = False) -> Iterator[None]:
        try:
            yield
        except FileNotFoundError as error:
            if pass_missing:
                raise
            raise self._failed(missing) from error
        except PermissionError as error:
            raise self._failed("refuses: the credentials found here do not open it, or not to do this") from error
        except ImportError as error:
            raise _lacking(self._kind) from error
        except _errors() as error:
            if isinstance(error, OSError) and error.errno in _FULL:
                raise StoreError(
                    Problem("store", f"a photo's copy cannot be kept ({error.strerror})", "Is the disk full?")
                ) from error
            raise self._failed(_reason(error)) from error

    def _failed(self, what: str) -> StoreError:
        return StoreError(
            Problem(
                SETTING,
                f"the place for photos ({self._kind}://) {what}",
                "Check the address, the network, and the credentials that its library reads.",
            )
        )


def checked_kind(address: str) -> str:
    """Return the kind of an address, such as s3; raises RequestError for one that cannot be used, or not safely.

    The address is not repeated in any message.
    """
    from fsspec.registry import available_protocols, get_filesystem_class

    found = _ADDRESS.fullmatch(address)
    if found is None or "::" in address:
        raise RequestError(Problem(SETTING, "is not the address of a place for photos", _WRITTEN))
    kind, place = found[1], found[2]
    if _PASSWORD.match(place):
        raise RequestError(
            Problem(SETTING, "holds a password", "Leave it out: the library of the service reads it where it is safe.")
        )
    if kind not in available_protocols() or kind in _NO_PLACES:
        raise RequestError(Problem(SETTING, f"{kind} is no kind of place that is known here", _WRITTEN))
    try:
        get_filesystem_class(kind)
    except ImportError as error:
        raise _lacking(kind) from error
    return kind


def checked_hash(path: Path, sha: str) -> None:
    """Raise PhotoError for bytes that are not the photo's: cut off on the way, or changed where it is kept."""
    with path.open("rb") as file:
        found = hashlib.file_digest(file, "sha256").hexdigest()
    if found != sha:
        raise PhotoError(
            Problem(
                "photo",
                "is not what was sent: it was changed or cut off where photos are kept",
                "Bring it back from a backup, or remove it from the room and send it again.",
            )
        )


def _lacking(kind: str) -> GivensError:
    from fsspec.registry import known_implementations

    how = "pip install 'givens[s3]'" if kind in _S3 else str(known_implementations.get(kind, {}).get("err", ""))
    return RequestError(Problem(SETTING, f"{kind}:// needs a library that is missing here", how))


def _reason(error: Exception) -> str:
    """Return in our own words why a library failed: its text may hold an address that opens something."""
    name = type(error).__name__
    if "Credentials" in name or "ProfileNotFound" in name:
        return f"was asked without credentials: its library found none that are whole ({name})"
    if isinstance(error, (ConnectionError, TimeoutError)) or re.search("Connect|Timeout", name):
        return f"does not answer ({name})"
    return f"cannot be used ({name})"


def _errors() -> tuple[type[Exception], ...]:
    """Return what a place's library raises when it fails: no more is caught than what is known to mean that."""
    loaded = ((sys.modules.get(module), name) for module, name in _THEIRS)
    theirs = [getattr(module, name, None) for module, name in loaded if module is not None]
    return (OSError, ValueError, NotImplementedError, *(one for one in theirs if isinstance(one, type)))
