"""The upright size of a photo, from its header alone."""

from __future__ import annotations

from pathlib import Path

from PIL import ExifTags, Image

from matcher.raw_header import is_raw, may_be_raw, upright_raw_size
from matcher.workers.limits import Allowance
from matcher.workers.pool import WorkerLostError, call

_ALLOWANCE = Allowance(memory=2_000_000_000, seconds=8)
_HEIF_SUFFIXES = (".heic", ".heif", ".hif")
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
        # A raw file's first picture, which Pillow would open, is a preview of another size.
        with path.open("rb") as file:
            head = file.read(16)
        data = path.read_bytes() if may_be_raw(head) else b""
    except OSError:
        return None
    if data and is_raw(path.name, data):
        return upright_raw_size(data)
    if path.suffix.lower() in _HEIF_SUFFIXES:
        import pillow_heif

        pillow_heif.register_heif_opener()
    try:
        with Image.open(path) as image:
            width, height = image.size
            orientation = image.getexif().get(ExifTags.Base.Orientation, 1)
            turned = orientation in (5, 6, 7, 8) and image.format not in _TURNED_BY_READER
    except (OSError, SyntaxError, ValueError, Image.DecompressionBombError):
        return None
    return (height, width) if turned else (width, height)
