"""The name a photo is kept under: what the sender called it, made safe for every disk and unique in its room."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Collection
from pathlib import PurePosixPath

from matcher.raw_header import RAW_SUFFIXES

# What Windows refuses in a name; the separators are dealt with before, control characters by their category.
_FORBIDDEN = '<>:"|?*'
# Names that mean a device on Windows, whatever follows the first dot.
_DEVICES = {"con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(1, 10))}
# File systems take 255 bytes; what is left over is for a number and a suffix.
_MOST_BYTES, _MOST_SUFFIX_BYTES = 120, 12
_SUFFIXES = {
    ".jpg": (".jpg", ".jpeg", ".jpe", ".jfif"),
    ".png": (".png",),
    ".tif": (".tif", ".tiff"),
    ".webp": (".webp",),
    ".heic": (".heic", ".heif", ".hif"),
    ".raw": RAW_SUFFIXES,
}
SUFFIX_OF_KIND = {
    "JPEG": ".jpg",
    "MPO": ".jpg",
    "PNG": ".png",
    "TIFF": ".tif",
    "WEBP": ".webp",
    "HEIF": ".heic",
    "RAW": ".raw",
}


def plain_name(name: str) -> str:
    """Return the last part of ``name`` without what a disk or a reader could trip over; may be empty.

    >>> plain_name("../My photos/tile?.JPG"), plain_name("..")
    ('tile.JPG', '')
    """
    spaced = " ".join(re.split(r"[/\\]", name)[-1].split())
    # Category C: control, format (which could turn the reading direction), surrogate, private use, unassigned.
    kept = "".join(letter for letter in spaced if unicodedata.category(letter)[0] != "C" and letter not in _FORBIDDEN)
    # Composed last, since letters may meet their accents only now.
    kept = " ".join(unicodedata.normalize("NFC", kept).split()).strip(". ")
    path = PurePosixPath(kept)
    stem = _cut(path.stem, _MOST_BYTES).strip(". ")
    if stem.split(".")[0].strip().lower() in _DEVICES:
        stem = f"photo-{stem}"
    return (stem + _cut(path.suffix, _MOST_SUFFIX_BYTES)).strip(". ")


def safe_name(name: str, suffix: str) -> str:
    """Return the plain name, ending in what its content is.

    >>> safe_name("C:\\\\x\\\\con", ".png"), safe_name("a.txt", ".jpg"), safe_name("", ".jpg")
    ('photo-con.png', 'a.jpg', 'photo.jpg')
    """
    path = PurePosixPath(plain_name(name) or "photo")
    return path.stem + (path.suffix if path.suffix.lower() in _SUFFIXES[suffix] else suffix)


def free_name(name: str, taken: Collection[str]) -> str:
    """Return ``name``, numbered where it is taken; case counts for nothing, as on many disks.

    >>> free_name("tile.jpg", ["Tile.JPG", "tile-2.jpg"])
    'tile-3.jpg'
    """
    used = {_key(other) for other in taken}
    path, number, found = PurePosixPath(name), 2, name
    while _key(found) in used:
        ending = f"-{number}"
        found, number = f"{_cut(path.stem, _MOST_BYTES - len(ending))}{ending}{path.suffix}", number + 1
    return found


def _key(name: str) -> str:
    return unicodedata.normalize("NFC", name.casefold())


def _cut(text: str, most: int) -> str:
    return text.encode("utf-8")[:most].decode("utf-8", errors="ignore")
