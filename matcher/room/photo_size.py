"""The upright size of a photo, from its header alone."""

from __future__ import annotations

import io
import struct
from pathlib import Path

from PIL import ExifTags, Image

from matcher.errors import RoomFileError
from matcher.opening import read_bytes
from matcher.raw_header import is_raw, may_be_raw, upright_raw_size
from matcher.structure.png import without_picture
from matcher.structure.stated_size import is_heif, is_png, is_webp, stated_size
from matcher.structure.webp import webp_file
from matcher.workers.limits import Allowance
from matcher.workers.pool import WorkerLostError, call

# Assumption: the file itself, of the largest that are read, and what headers take.
_ALLOWANCE = Allowance(memory=700_000_000, seconds=8)
# What readers of headers raise on damaged data.
_UNREADABLE = (
    OSError, SyntaxError, ValueError, EOFError, RuntimeError, struct.error, TypeError, LookupError, ArithmeticError,
    Image.DecompressionBombError, RoomFileError,
)  # fmt: skip
_TURNED_BY_READER = ("TIFF", "HEIF")  # these readers report the upright size themselves


def upright_size(path: Path) -> tuple[int, int] | None:
    """Return (width, height) after orientation, or None where the header cannot be read (reading it will say why)."""
    try:
        return call(size_from_header, path, allowance=_ALLOWANCE)
    except WorkerLostError:
        return None


def size_from_header(path: Path) -> tuple[int, int] | None:
    """Return what :func:`upright_size` does. Headers have decoders too: only a worker process comes here."""
    try:
        data = read_bytes(path, RoomFileError, "a photo", "Name the photo in it.")
        # A raw file's first picture, which Pillow would open, is a preview of another size.
        if may_be_raw(data[:16]) and is_raw(path.name, data):
            return upright_raw_size(data)
        stated_size(data)  # lengths that lead out of the file are found before a decoder meets them
        (width, height), turned = _webp(data) if is_webp(data) else _by_pillow(data)
    except _UNREADABLE:
        return None
    return (height, width) if turned else (width, height)


def _by_pillow(data: bytes) -> tuple[tuple[int, int], bool]:
    if is_heif(data):
        import pillow_heif

        pillow_heif.register_heif_opener()
    with Image.open(io.BytesIO(without_picture(data) if is_png(data) else data)) as image:
        return image.size, image.format not in _TURNED_BY_READER and _is_turned(image)


def _webp(data: bytes) -> tuple[tuple[int, int], bool]:
    file = webp_file(data)
    bearer = Image.new("RGB", (1, 1))
    names = {"exif": b"EXIF", "xmp": b"XMP "}
    bearer.info = {name: file.chunks[chunk] for name, chunk in names.items() if chunk in file.chunks}
    return file.size, _is_turned(bearer)


def _is_turned(image: Image.Image) -> bool:
    # Not the PNG class's own way, which decodes the picture first.
    return Image.Image.getexif(image).get(ExifTags.Base.Orientation, 1) in (5, 6, 7, 8)
