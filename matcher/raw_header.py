"""Is a file camera raw, and how large is its picture: what the room file and the photo both ask, from the header."""

from __future__ import annotations

import io
import struct
from collections.abc import Iterator
from pathlib import PurePath
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import rawpy

# The names raw formats go by; many are TIFF files inside, whose first picture is only a preview.
RAW_SUFFIXES = (
    ".dng", ".nef", ".nrw", ".cr2", ".cr3", ".crw", ".arw", ".srf", ".sr2", ".raf", ".orf", ".rw2", ".raw", ".pef",
    ".srw", ".x3f", ".3fr", ".fff", ".iiq", ".mef", ".mos", ".kdc", ".dcr", ".erf", ".rwl", ".gpr",
)  # fmt: skip

_PICTURES = (b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"RIFF", b"GIF8", b"BM")
_TIFF = {b"II*\0": "<", b"MM\0*": ">"}
# TIFF 6.0 section 8; TIFF/EP (ISO 12234-2) and DNG 1.7: sub-directories, colour filter array, linear raw, DNG version.
_INTERPRETATION, _SUB_DIRECTORIES, _DNG_VERSION = 262, 330, 50706
_MOSAIC, _LINEAR_RAW = 32803, 34892
_CR2_MARK = b"CR\x02"  # bytes 8..10 of a CR2 file, which has no tag that would tell it from a TIFF
_MOST_DIRECTORIES = 16  # assumption: far above any camera's; guards against a ring of them
_ENTRY_BYTES = 12


def may_be_raw(head: bytes) -> bool:
    """Tell from its first bytes (16) whether a file is worth a closer look: most photos are plainly something else."""
    return not head.startswith(_PICTURES) and (head[4:8] != b"ftyp" or head[8:11] == b"crx")


def is_raw(name: str, data: bytes) -> bool:
    """Tell whether ``data`` is camera raw, or says so by its name while being no picture that is read otherwise."""
    if not may_be_raw(data[:16]):
        return False
    named_raw = PurePath(name).suffix.lower() in RAW_SUFFIXES
    order = _TIFF.get(data[:4])
    if order:
        return named_raw or data[8:11] == _CR2_MARK or _holds_mosaic(data, order)
    return named_raw or _opens(data)


def open_raw(data: bytes) -> rawpy.RawPy:
    """Return the raw file, its header read; raises ``rawpy.LibRawError`` where it is not known or damaged."""
    # Not at import: the library is large and most photos are JPEG.
    import rawpy

    return rawpy.imread(io.BytesIO(data))


def upright_raw_size(data: bytes) -> tuple[int, int] | None:
    """Return (width, height) of the picture as it is held upright; None where the raw file is not known."""
    import rawpy

    try:
        with open_raw(data) as raw:
            return upright_size_of(raw)
    except rawpy.LibRawError:
        return None


def upright_size_of(raw: rawpy.RawPy) -> tuple[int, int]:
    """Return (width, height) of an opened raw file as it is held upright."""
    sizes = raw.sizes
    width, height = int(sizes.width), int(sizes.height)
    # LibRaw stores a quarter turn as 5 or 6.
    return (height, width) if sizes.flip in (5, 6) else (width, height)


def _opens(data: bytes) -> bool:
    import rawpy

    try:
        open_raw(data).close()
    except rawpy.LibRawError:
        return False
    return True


def _holds_mosaic(data: bytes, order: str) -> bool:
    for tags in _directories(data, order):
        if _DNG_VERSION in tags or tags.get(_INTERPRETATION) in (_MOSAIC, _LINEAR_RAW):
            return True
    return False


def _directories(data: bytes, order: str) -> Iterator[dict[int, int]]:
    """Yield the tags of each directory, each with its first value or, where that does not fit, its offset."""
    waiting = list(struct.unpack_from(f"{order}I", data, 4)) if len(data) >= 8 else []
    for _ in range(_MOST_DIRECTORIES):
        if not waiting:
            return
        try:
            tags, following = _directory(data, order, waiting.pop())
        except struct.error:
            continue
        waiting += following
        yield tags


def _directory(data: bytes, order: str, start: int) -> tuple[dict[int, int], list[int]]:
    (count,) = struct.unpack_from(f"{order}H", data, start)
    tags: dict[int, int] = {}
    following: list[int] = []
    for at in range(start + 2, start + 2 + _ENTRY_BYTES * count, _ENTRY_BYTES):
        tag, kind, number = struct.unpack_from(f"{order}HHI", data, at)
        (value,) = struct.unpack_from(f"{order}H" if kind == 3 else f"{order}I", data, at + 8)
        tags[tag] = value
        if tag == _SUB_DIRECTORIES:
            number = min(number, _MOST_DIRECTORIES)
            following += [value] if number == 1 else struct.unpack_from(f"{order}{number}I", data, value)
    (following_one,) = struct.unpack_from(f"{order}I", data, start + 2 + _ENTRY_BYTES * count)
    return tags, [*following, *([following_one] if following_one else [])]
