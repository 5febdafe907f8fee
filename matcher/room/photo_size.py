"""The upright size of a photo, from its header alone."""

from __future__ import annotations

import warnings
from pathlib import Path

from PIL import ExifTags, Image

from matcher.errors import RoomFileError
from matcher.opening import read_bytes
from matcher.raw_header import is_raw, may_be_raw, upright_raw_size

_HEIF_SUFFIXES = (".heic", ".heif", ".hif")
_TURNED_BY_READER = ("TIFF", "HEIF")  # these readers report the upright size themselves


def upright_size(path: Path) -> tuple[int, int] | None:
    """Return (width, height) after orientation, or None where the header cannot be read (reading it will say why)."""
    try:
        # A raw file's first picture, which Pillow would open, is a preview of another size.
        with path.open("rb") as file:
            head = file.read(16)
        data = read_bytes(path, RoomFileError, "a photo", "Name the photo in it.") if may_be_raw(head) else b""
    except (OSError, RoomFileError):
        return None
    if data and is_raw(path.name, data):
        return upright_raw_size(data)
    if path.suffix.lower() in _HEIF_SUFFIXES:
        import pillow_heif

        pillow_heif.register_heif_opener()
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            with Image.open(path) as image:
                width, height = image.size
                orientation = image.getexif().get(ExifTags.Base.Orientation, 1)
                turned = orientation in (5, 6, 7, 8) and image.format not in _TURNED_BY_READER
    except (OSError, SyntaxError, ValueError, Image.DecompressionBombError):
        return None
    return (height, width) if turned else (width, height)
